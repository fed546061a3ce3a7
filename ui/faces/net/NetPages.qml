pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views

// The pages that take the whole face under the rail: one at a time, made when it is opened.
Item {
    id: pages

    required property CourtView court
    required property NetState desk
    required property bool upright

    readonly property bool checking: pages.court.phase === "check"

    visible: pages.desk.page !== "" || pages.checking

    Loader {
        anchors.fill: parent
        active: pages.desk.page === "call"
        sourceComponent: NetCall {
            court: pages.court
            desk: pages.desk
            upright: pages.upright
        }
    }

    Loader {
        anchors.fill: parent
        active: pages.desk.page === "server"
        sourceComponent: NetWrongServer {
            court: pages.court
            desk: pages.desk
            upright: pages.upright
        }
    }

    Loader {
        anchors.fill: parent
        active: pages.desk.page === "conduct"
        sourceComponent: NetConduct {
            court: pages.court
            desk: pages.desk
            upright: pages.upright
        }
    }

    Loader {
        anchors.fill: parent
        active: pages.desk.page === "subs"
        sourceComponent: NetSubstitution {
            court: pages.court
            desk: pages.desk
            upright: pages.upright
        }
    }

    Loader {
        anchors.fill: parent
        active: pages.checking && pages.desk.page === ""
        sourceComponent: NetCheck {
            court: pages.court
            desk: pages.desk
            upright: pages.upright
        }
    }
}
