pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Before the match: open a court, join one, or go back to one this device knows. One page at a time; Enter goes on,
// Esc goes back.
Face {
    id: face

    required property SetupView setup

    readonly property SetupSizes sizes: Theme.setup
    readonly property bool wide: face.width > face.height
    readonly property bool footed: face.setup.page !== "home" && face.setup.page !== "code"

    focus: true
    Keys.onReturnPressed: face.goOn()
    Keys.onEnterPressed: face.goOn()
    Keys.onEscapePressed: face.setup.back()
    Keys.onPressed: event => event.accepted = code.visible && code.take(event.key)

    function goOn() {
        if (!face.footed)
            return;
        if (face.setup.page === "toss" && toss.told)
            face.court.write.toss(toss.serves, toss.leftTeam);
        face.setup.next();
    }

    Connections {
        target: face.setup

        function onPageChanged() {
            face.forceActiveFocus();
        }
    }

    Binding {
        target: Theme
        property: "reducedMotion"
        value: true
        when: face.setup.calm
    }

    Connections {
        target: Theme

        function onBrightChanged() {
            face.setup.keepTheme(Theme.bright);
        }
    }

    SetupRail {
        width: face.width
        height: face.sizes.rail
        setup: face.setup
        court: face.court
    }

    Item {
        id: room

        x: face.sizes.margin
        y: face.sizes.rail + face.sizes.margin
        width: face.width - 2 * face.sizes.margin
        height: face.height - y - face.sizes.margin - (face.footed ? face.sizes.foot + face.sizes.margin : 0)

        SetupInvited {
            anchors.fill: parent
            visible: face.setup.invited
            setup: face.setup
        }

        SetupHome {
            anchors.fill: parent
            visible: face.setup.page === "home" && !face.setup.invited
            setup: face.setup
            wide: face.wide
        }

        SetupOpening {
            anchors.fill: parent
            setup: face.setup
            wide: face.wide
        }

        SetupJob {
            anchors.fill: parent
            visible: face.setup.page === "job"
            setup: face.setup
            wide: face.wide
        }

        SetupHere {
            anchors.fill: parent
            visible: face.setup.page === "here"
            setup: face.setup
            wide: face.wide
        }

        SetupToss {
            id: toss

            anchors.fill: parent
            visible: face.setup.page === "toss"
            court: face.court
            wide: face.wide
        }

        SetupJoin {
            anchors.fill: parent
            visible: face.setup.page === "join" && !face.setup.invited
            setup: face.setup
            wide: face.wide
        }

        SetupCode {
            id: code

            anchors.fill: parent
            visible: face.setup.page === "code"
            setup: face.setup
            wide: face.wide
        }
    }

    SetupFoot {
        visible: face.footed
        x: face.sizes.margin
        y: face.height - face.sizes.margin - height
        width: face.width - 2 * face.sizes.margin
        height: face.sizes.foot
        setup: face.setup
        wide: face.wide
        tossTold: toss.told
        onNextAsked: face.goOn()
    }
}
