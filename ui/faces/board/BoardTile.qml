pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One court: number, phase, sets won, both teams with their points, what goes on. Its rows stand still in every state; a
// notice gives the tile its weight, one that all have answered a tick and what is still to come. Out of reach: mark and
// words, points dim, "as of".
Press {
    id: tile

    required property int court
    required property string phase
    required property string doing
    required property string nameA
    required property string nameB
    required property string pointsA
    required property string pointsB
    required property bool linked
    required property string level
    required property string age
    required property bool pulsing
    required property bool lit
    required property string spoken
    required property string sets
    required property string pending

    readonly property BoardSizes sizes: Theme.board
    readonly property bool noticed: tile.level === "now" || tile.level === "soon"
    readonly property bool full: tile.level === "now"
    readonly property bool answered: tile.pending !== ""
    readonly property bool bare: !tile.noticed && !tile.answered
    readonly property color headInk: tile.noticed ? Theme.fillInk(tile.level) : Theme.ink
    readonly property color bodyInk: tile.full ? Theme.nowInk : Theme.ink

    text: "Court " + tile.court
    Accessible.name: tile.spoken

    background: Item {
        Rectangle {
            visible: !tile.noticed
            x: 20
            width: parent.width - 40
            height: tile.answered ? Theme.heavy : Theme.outline
            color: tile.answered ? Theme.ink : Theme.line
        }

        BoardPlate {
            anchors.fill: parent
            visible: tile.noticed
            level: tile.level
            headHigh: 96
            pulsing: tile.pulsing
            lit: tile.lit
        }
    }

    contentItem: Item {
        id: content

        readonly property int inset: 20

        Words {
            id: number

            x: content.inset
            bl: 72
            size: tile.sizes.figure
            bold: true
            text: String(tile.court)
            color: tile.headInk
        }

        Icon {
            visible: !tile.linked
            x: number.x + number.width + Theme.s5
            y: 30
            path: Marks.unlinked
            size: tile.sizes.strong
        }

        Words {
            visible: tile.bare
            x: content.width - content.inset - width
            mid: 34
            size: tile.sizes.small
            bold: !tile.linked
            text: tile.linked ? tile.phase : "no link"
            color: tile.linked ? Theme.dim : Theme.ink
        }

        Words {
            visible: tile.bare
            x: content.width - content.inset - width
            mid: 72
            size: tile.sizes.small
            text: tile.linked ? tile.sets : tile.phase
            color: Theme.dim
        }

        UrgencyMark {
            visible: !tile.bare
            x: content.width - content.inset - width
            y: 34 - height / 2
            width: implicitWidth
            level: tile.level
            ending: tile.answered ? "answered" : "open"
            markSize: tile.sizes.small
            size: tile.sizes.small
            tone: tile.headInk
        }

        ClockText {
            x: content.width - content.inset - width
            mid: 72
            size: tile.sizes.small
            text: tile.answered ? tile.pending : tile.age
            color: tile.headInk
        }

        BoardTileTeam {
            y: 99
            width: content.width
            tile: tile
            letter: "A"
            name: tile.nameA
            points: tile.pointsA
        }

        BoardTileTeam {
            y: 163
            width: content.width
            tile: tile
            letter: "B"
            name: tile.nameB
            points: tile.pointsB
        }

        Words {
            x: content.inset
            bl: 266
            size: tile.sizes.small
            bold: !tile.bare || !tile.linked
            text: tile.doing
            color: !tile.bare || !tile.linked ? tile.bodyInk : Theme.dim
        }
    }
}
