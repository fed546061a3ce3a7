pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The tablet lying: server due and thumb well on the hold side, score, court and notices beside them.
Item {
    id: wide

    required property CourtView court
    required property NetState desk

    readonly property NetSizes sizes: Theme.net
    readonly property int wellX: wide.desk.rightHand ? wide.width - wide.sizes.margin - wide.sizes.well : wide.sizes.margin
    readonly property int contentX: wide.desk.rightHand ? wide.sizes.margin : wide.sizes.margin + wide.sizes.well + Theme.s5
    readonly property int contentWide: wide.width - wide.sizes.well - 2 * wide.sizes.margin - Theme.s5
    readonly property int foot: wide.height - Theme.s5

    NetRail {
        width: wide.width
        height: wide.sizes.rail
        court: wide.court
        desk: wide.desk
    }

    Item {
        visible: wide.desk.page === "" && wide.court.phase !== "check"
        anchors.fill: parent

        NetServerDue {
            visible: known && wide.court.writer.matchHere
            x: wide.wellX
            y: wide.sizes.rail
            width: wide.sizes.well
            court: wide.court
        }

        NetWell {
            x: wide.wellX
            y: wide.foot - height - Theme.s4 - wide.sizes.answerHigh
            width: wide.sizes.well
            padHigh: wide.sizes.wellPad
            columns: 1
            court: wide.court
            desk: wide.desk
        }

        NetAnswer {
            x: wide.wellX
            y: wide.foot - height
            width: wide.sizes.well
            height: wide.sizes.answerHigh
            court: wide.court
            desk: wide.desk
        }

        ScorePair {
            visible: wide.court.writer.matchHere
            x: wide.contentX
            y: 76
            width: wide.contentWide
            view: wide.court
            sizes: wide.sizes
        }

        NetCentre {
            x: wide.contentX
            y: 216
            width: wide.contentWide
            height: 380
            freeZone: 114
            numberSize: wide.sizes.number
            court: wide.court
            desk: wide.desk
        }

        NetTray {
            x: wide.contentX
            y: wide.foot - height
            width: wide.contentWide
            height: wide.sizes.tray
            court: wide.court
            desk: wide.desk
        }
    }

    NetPages {
        y: wide.sizes.rail
        width: wide.width
        height: wide.height - y
        court: wide.court
        desk: wide.desk
        upright: false
    }
}
