pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A notice of the open court: its plate with title, age and what it is about; a pad where the supervisor must answer.
Press {
    id: row

    required property string noticeId
    required property NoticeLook notice
    property string pending: ""

    readonly property BoardSizes sizes: Theme.board
    readonly property bool live: row.notice.live
    readonly property string level: row.live ? row.notice.level : ""
    readonly property bool full: row.level === "now"
    readonly property bool asked: row.notice.asked && row.live
    readonly property color headInk: row.level === "now" || row.level === "soon" ? Theme.fillInk(row.level) : row.live ? Theme.ink : Theme.dim
    readonly property color bodyInk: row.full ? Theme.nowInk : row.live ? Theme.ink : Theme.dim
    readonly property int textX: row.level === "note" ? 20 + Theme.noteEdge : 20
    readonly property real rightX: row.width - 20 - (pad.visible ? pad.width + Theme.s4 : 0)

    readonly property bool closing: row.notice.closes && !row.asked

    signal answered
    signal closed

    text: row.notice.title
    Accessible.name: row.notice.title + ". " + row.notice.spoken

    background: BoardPlate {
        level: row.level
        headHigh: 52
        pulsing: row.notice.pulsing
        lit: row.notice.lit
    }

    contentItem: Item {
        UrgencyMark {
            x: row.textX
            y: 28 - height / 2
            width: implicitWidth
            level: row.notice.level
            ending: row.notice.state
            markSize: row.sizes.body
            size: row.sizes.small
            tone: row.headInk
        }

        ClockText {
            x: row.width - 20 - width
            mid: 28
            size: row.sizes.small
            text: row.notice.ageText
            color: row.headInk
        }

        Words {
            x: row.textX
            bl: 94
            size: row.sizes.small
            bold: true
            text: row.notice.title
            color: row.bodyInk
        }

        Words {
            visible: !row.closing
            x: row.width - 20 - width
            bl: 94
            size: row.sizes.small
            bold: true
            text: row.pending
            color: row.bodyInk
        }

        Words {
            x: row.textX
            bl: 134
            width: row.rightX - row.textX
            elide: Text.ElideRight
            size: row.sizes.small
            text: row.notice.detail !== "" ? row.notice.detail : row.notice.fromText
            color: row.full ? Theme.nowInk : Theme.dim
        }
    }

    Pad {
        id: pad

        objectName: "board.notice.answer." + row.noticeId
        visible: row.asked || row.closing
        x: row.width - width - 20
        y: 66
        width: 176
        height: 68
        sizes: row.sizes
        text: row.closing ? "Done" : "Got it"
        labelSize: row.sizes.small
        path: Marks.answered
        markSize: 32
        inset: Theme.s3
        onActed: {
            if (row.closing)
                row.closed();
            else
                row.answered();
        }
    }
}
