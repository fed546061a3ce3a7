pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

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
        active: pages.desk.page === "crew"
        sourceComponent: NetCrew {
            court: pages.court
            sizes: Theme.net
            narrow: pages.upright
            onClosed: pages.desk.shut()
        }
    }

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
        active: pages.desk.page === "ends"
        sourceComponent: NetEnds {
            court: pages.court
            desk: pages.desk
            sizes: Theme.net
            contentX: pages.upright || pages.desk.rightHand ? sizes.margin : sizes.margin + Theme.net.well + Theme.s5
            contentWide: width - 2 * sizes.margin - (pages.upright ? 0 : Theme.net.well + Theme.s5)

            NetCancel {
                page: parent
                desk: pages.desk
                upright: pages.upright
            }
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
