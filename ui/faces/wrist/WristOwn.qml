pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What R1 has just told: who has it, and for 6 s a pad to take it back. If nobody answers it says so; what was refused
// stands for 6 s with its reason.
Item {
    id: page

    required property CourtView court
    required property WristShape shape

    readonly property NoticeLook notice: page.court.plates.own
    readonly property bool refused: page.court.refusal.present
    readonly property bool silent: !page.refused && page.notice.told !== "" && !page.court.act.present

    signal seen

    WristWords {
        shape: page.shape
        footing: page.shape.round ? 72 : 48
        size: Theme.wrist.small
        text: page.refused ? "Not done" : page.silent ? "No answer" : "Told all"
        color: Theme.dim
    }

    WristWords {
        shape: page.shape
        footing: page.shape.round ? 122 : 104
        size: page.shape.round ? Theme.wrist.body : Theme.wrist.strong
        bold: true
        visible: !page.refused
        text: page.notice.title
    }

    Words {
        readonly property real side: page.shape.inset(page.refused ? 110 : 150, 270)

        visible: page.silent || page.refused
        x: side
        y: page.refused ? (page.shape.round ? 112 : 76) : page.shape.round ? 148 : 136
        width: page.width - 2 * side
        horizontalAlignment: page.shape.round ? Text.AlignHCenter : Text.AlignLeft
        wrapMode: Text.WordWrap
        size: Theme.wrist.body
        bold: true
        text: page.refused ? page.court.refusal.sentence : page.notice.told
    }

    ReceiptRow {
        visible: !page.silent && !page.refused
        x: page.shape.round ? Math.round((page.width - width) / 2) : Theme.s5
        y: page.shape.round ? 152 : 136
        model: page.notice.receipts
        size: Theme.wrist.small
        upright: true
    }

    WristPad {
        objectName: "wrist.own.back"
        visible: page.court.act.present && !page.refused
        x: page.shape.round ? 0 : Theme.wrist.margin
        y: page.shape.tellTop
        width: page.width - 2 * x
        height: page.shape.tellHigh
        shape: page.shape
        text: "Undo, " + page.court.act.remaining + " s"
        path: Marks.undo
        labelSize: Theme.wrist.body
        middle: 0.4
        arm: true
        onActed: {
            page.court.tell.withdraw(page.notice.noticeId, "a slip");
            page.court.act.forget();
        }
    }

    WristPad {
        objectName: "wrist.own.seen"
        visible: page.silent
        x: page.shape.round ? 0 : Theme.wrist.margin
        y: page.shape.tellTop
        width: page.width - 2 * x
        height: page.shape.tellHigh
        shape: page.shape
        text: "Back"
        path: Marks.leftward
        labelSize: Theme.wrist.body
        middle: 0.4
        arm: true
        onActed: page.seen()
    }
}
