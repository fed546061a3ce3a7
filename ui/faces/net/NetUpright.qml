pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The tablet standing: score and court on top, notices in the middle, the thumb well and the answer pad below.
Item {
    id: tall

    required property CourtView court
    required property NetState desk

    readonly property NetSizes sizes: Theme.net
    readonly property int wide: tall.width - 2 * tall.sizes.margin

    NetRail {
        width: tall.width
        height: 68
        court: tall.court
        desk: tall.desk
        short: true
    }

    Item {
        visible: tall.desk.page === "" && tall.court.phase !== "check"
        anchors.fill: parent

        ScorePair {
            visible: tall.court.writer.matchHere
            x: tall.sizes.margin
            y: 92
            width: tall.wide
            height: 176
            view: tall.court
            sizes: tall.sizes
            upright: true
        }

        NetCentre {
            x: tall.sizes.margin
            y: 280
            width: tall.wide
            height: 300
            freeZone: 108
            numberSize: tall.sizes.portraitNumber
            court: tall.court
            desk: tall.desk
            upright: true
        }

        NetTray {
            x: tall.sizes.margin
            y: 602
            width: tall.wide
            height: tall.sizes.tray
            signsBelow: answer.signs
            court: tall.court
            desk: tall.desk
        }

        NetWell {
            x: tall.sizes.margin
            y: 784
            width: tall.wide
            padHigh: 92
            columns: 2
            court: tall.court
            desk: tall.desk
        }

        NetAnswer {
            id: answer

            x: tall.sizes.margin
            y: 1028
            width: tall.wide
            height: 228
            large: true
            court: tall.court
            desk: tall.desk
        }
    }

    NetPages {
        y: 68
        width: tall.width
        height: tall.height - y
        court: tall.court
        desk: tall.desk
        upright: true
    }
}
