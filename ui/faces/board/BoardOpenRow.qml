pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice of the hall that is not closed: level and age, court and title, what it is about or how many have answered;
// where all have, a tick and what is still to come.
Press {
    id: row

    required property BoardView board
    required property int court
    required property string notice
    required property string title
    required property string second
    required property string level
    required property string age
    required property bool pulsing
    required property bool lit
    required property string spoken
    required property string pending

    readonly property BoardSizes sizes: Theme.board
    readonly property bool full: row.level === "now"
    readonly property color headInk: row.level === "note" ? Theme.ink : Theme.fillInk(row.level)
    readonly property color bodyInk: row.full ? Theme.nowInk : Theme.ink
    readonly property int headHigh: 56
    readonly property int textX: row.level === "note" ? 20 + Theme.noteEdge : 20

    text: "Court " + row.court
    Accessible.name: row.spoken

    Timer {
        interval: Theme.arming
        running: row.visible
        onTriggered: row.board.shown(row.court, row.notice)
    }

    background: BoardPlate {
        level: row.level
        headHigh: row.headHigh
        pulsing: row.pulsing
        lit: row.lit
    }

    contentItem: Item {
        id: content

        UrgencyMark {
            x: row.textX
            y: row.headHigh / 2 + 2 - height / 2
            width: implicitWidth
            level: row.level
            ending: row.pending !== "" ? "answered" : "open"
            markSize: row.sizes.body
            size: row.sizes.small
            tone: row.headInk
        }

        ClockText {
            x: content.width - 20 - width
            mid: row.headHigh / 2 + 2
            size: row.sizes.small
            text: row.age
            color: row.headInk
        }

        Words {
            x: row.textX
            bl: 104
            size: row.sizes.body
            bold: true
            text: row.text
            color: row.bodyInk
        }

        Words {
            x: content.width - 20 - width
            bl: 104
            size: row.sizes.small
            bold: true
            text: row.title
            color: row.bodyInk
        }

        Words {
            x: row.textX
            bl: 148
            size: row.sizes.small
            bold: row.pending !== ""
            text: row.second
            color: row.full ? Theme.nowInk : row.pending !== "" ? Theme.ink : Theme.dim
        }
    }
}
