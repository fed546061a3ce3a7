pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The table's one line: it says what the next key will do. Idle it offers what the arrows do; with a verb it is a
// statement or a form of boxes. Keys are read by the face; this shows what `Desk` makes of them.
Rectangle {
    id: line

    required property Desk desk

    readonly property LineLook look: line.desk.line
    readonly property TableSizes sizes: Theme.table
    readonly property bool idle: line.look.verb === ""
    readonly property real middle: line.height / 2
    readonly property string spoken: line.look.spoken

    function markOf(name: string): string {
        switch (name) {
        case "cross":
            return Marks.cross;
        case "hold":
            return Marks.hold;
        case "wait":
            return Marks.wait;
        case "unlinked":
            return Marks.unlinked;
        default:
            return Marks.answered;
        }
    }

    implicitHeight: line.sizes.line
    color: Theme.panel
    Accessible.role: Accessible.EditableText
    Accessible.focusable: true
    Accessible.name: "Number line. " + line.spoken

    Rectangle {
        x: line.sizes.margin
        y: line.height - height
        width: line.width - 2 * line.sizes.margin
        height: Theme.hairline
        color: Theme.hair
    }

    LineEnd {
        objectName: "table.line.left"
        visible: line.idle && line.look.leftWord !== ""
        x: line.sizes.margin
        height: line.height
        path: Marks.leftward
        word: line.look.leftWord
        value: line.look.leftValue
        hint: line.look.leftHint
        atLeft: true
        guarded: line.look.guarded
        pressing: line.look.pressing === "left" || line.look.pressing === "f1"
        onActed: line.desk.tap("left")
    }

    LineEnd {
        objectName: "table.line.right"
        visible: line.idle && line.look.rightWord !== ""
        x: line.width - line.sizes.margin - width
        height: line.height
        path: Marks.rightward
        word: line.look.rightWord
        value: line.look.rightValue
        hint: line.look.rightHint
        atLeft: false
        guarded: line.look.guarded
        pressing: line.look.pressing === "right" || line.look.pressing === "f12"
        onActed: line.desk.tap("right")
    }

    Rectangle {
        visible: line.idle
        x: prompt.x - Theme.s4
        y: Math.round(line.middle - height / 2)
        width: Theme.ring
        height: 36
        color: Theme.ink
    }

    Words {
        id: prompt

        visible: line.idle
        x: Math.round((line.width - width) / 2)
        mid: line.middle
        size: line.sizes.body
        bold: line.look.prompt.search(/^(Space|Enter|R1 decides)/) === 0
        text: line.look.prompt
        color: bold ? Theme.ink : Theme.off
    }

    LineForm {
        id: form

        visible: !line.idle
        x: line.sizes.margin
        height: line.height
        look: line.look
        markPath: line.look.mark !== "" ? line.markOf(line.look.mark) : ""
    }

    Words {
        id: ruler

        visible: false
        size: line.sizes.body
        bold: message.bold
        text: message.text
    }

    Words {
        id: message

        readonly property real room: line.width - 2 * line.sizes.margin - form.width - Theme.s5
        readonly property bool two: ruler.implicitWidth > room

        objectName: "table.line.message"
        visible: !line.idle && line.look.undoLeft < 0
        x: line.width - line.sizes.margin - width
        width: two ? room : ruler.implicitWidth
        mid: lineCount > 1 ? line.middle - 11 : line.middle
        size: two ? line.sizes.small : line.sizes.body
        wrapMode: two ? Text.WordWrap : Text.NoWrap
        horizontalAlignment: two ? Text.AlignRight : Text.AlignLeft
        bold: line.look.said === "no" || line.look.mark === "cross"
        text: line.look.message
        color: bold ? Theme.ink : Theme.dim
    }

    UndoStrip {
        visible: line.look.undoLeft >= 0
        x: line.width - line.sizes.margin - width
        y: Math.round(line.middle - height / 2)
        width: implicitWidth
        height: implicitHeight
        sizes: line.sizes
        remaining: Math.max(0, line.look.undoLeft)
    }
}
