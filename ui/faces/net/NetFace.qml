pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// R2's face: tablet lying or standing, folded to a phone. A NOW takes the face back from any page.
Face {
    id: face

    property SetupView adding: null

    readonly property bool adds: face.adding !== null && face.adding.adding
    readonly property bool phone: face.width < 500
    readonly property bool upright: !face.phone && face.height > face.width

    NetState {
        id: desk

        court: face.court
    }

    Connections {
        target: face.court

        function onTopChanged() {
            if (face.court.top.level === "now")
                desk.shut();
        }

        function onChanged() {
            if (desk.page !== "crew" && (!desk.attended || (!desk.playing && desk.page !== "conduct") || (["subs", "pause"].includes(desk.page) && face.court.inRally)))
                desk.shut();
            if (face.court.phase !== "check")
                desk.agreedA = desk.agreedB = false;
        }
    }

    Connections {
        target: face.court.refusal

        function onChanged() {
            if (face.court.refusal.present)
                face.court.act.forget();
        }
    }

    Loader {
        anchors.fill: parent
        active: !face.phone && !face.upright && face.width > 0
        visible: active && !face.adds
        sourceComponent: NetWide {
            court: face.court
            desk: desk
        }
    }

    Loader {
        anchors.fill: parent
        active: face.upright
        visible: active && !face.adds
        sourceComponent: NetUpright {
            court: face.court
            desk: desk
        }
    }

    Loader {
        anchors.fill: parent
        active: face.phone && face.width > 0
        visible: active
        sourceComponent: NetPhone {
            court: face.court
            desk: desk
        }
    }

    Loader {
        anchors.fill: parent
        active: face.adding !== null && !face.phone
        sourceComponent: AddDevice {
            setup: face.adding
            court: face.court
            offered: desk.page === "crew"
            sizes: Theme.net
            rail: 0
            place: Qt.rect(face.width - 320 - Theme.net.margin, face.height - Theme.s4 - Theme.net.target - (face.upright ? Theme.net.target + Theme.s4 : 0), 320, Theme.net.target)
        }
    }
}
