pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The calm wrist: the court as R1 sees it with both scores and the server due, and one pad, Tell.
Item {
    id: calm

    required property CourtView court
    required property WristShape shape

    readonly property real netX: calm.width / 2
    readonly property bool trouble: calm.shape.round && calm.court.glance.linkWord !== ""

    signal tellAsked

    WristRail {
        court: calm.court
        shape: calm.shape
    }

    Icon {
        visible: calm.court.courtsChanged
        x: Math.round(calm.netX - width / 2)
        y: calm.shape.round ? 18 : 16
        path: Marks.swap
        size: Theme.wrist.body
        Accessible.ignored: false
        Accessible.role: Accessible.StaticText
        Accessible.name: "Courts changed"
    }

    Rectangle {
        x: Math.round(calm.netX - width / 2)
        y: calm.shape.round ? 60 : Theme.wrist.rail
        width: Theme.heavy
        height: calm.shape.round ? 254 : Theme.wrist.courtHigh
        color: Theme.ink
    }

    WristSide {
        id: leftSide

        width: calm.netX
        height: calm.height
        team: calm.court.leftTeam
        shape: calm.shape
        atLeft: true
        withNext: !calm.trouble && !brief.visible
    }

    WristSide {
        id: rightSide

        x: calm.netX
        width: calm.width - calm.netX
        height: calm.height
        team: calm.court.rightTeam
        shape: calm.shape
        atLeft: false
        withNext: !calm.trouble && !brief.visible
    }

    WristLink {
        readonly property WristSide side: calm.court.leftTeam.serves ? rightSide : leftSide

        visible: calm.trouble
        stacked: true
        glance: calm.court.glance
        x: Math.round(side.x + side.middle - width / 2)
        y: 250
    }

    Column {
        id: brief

        readonly property WristSide side: calm.court.leftTeam.serves ? rightSide : leftSide

        visible: calm.shape.round && !calm.trouble && calm.court.writer.brief !== ""
        x: Math.round(brief.side.x + brief.side.middle - width / 2)
        y: 250

        Repeater {
            model: calm.court.writer.brief.split(" ")

            Words {
                required property string modelData

                anchors.horizontalCenter: parent?.horizontalCenter
                size: Theme.wrist.small
                bold: true
                text: modelData
            }
        }
    }

    WristAlone {
        shape: calm.shape
        glance: calm.court.glance
    }

    WristTellPad {
        visible: !calm.court.glance.alone
        shape: calm.shape
        onActed: calm.tellAsked()
    }
}
