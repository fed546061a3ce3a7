pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The table's one line: it says what the next key will do. Idle it offers both next scores beside their arrows; with
// a `verb` it is a statement or a form of `slots`. Keys are handled by the face; this only shows.
Rectangle {
    id: line

    required property CourtView view
    property string verb: ""
    property string verbMark: ""
    property string hint: ""
    property string message: ""
    property string typed: ""
    property string prompt: "or type a number"
    property list<LineSlot> slots: []
    property bool caret: true
    property string leftWord: line.view.leftTeam.letter + " scores"
    property string rightWord: line.view.rightTeam.letter + " scores"
    property string leftValue: line.view.nextLeftScore
    property string rightValue: line.view.nextRightScore
    property string leftHint: line.view.nextLeftHint
    property string rightHint: line.view.nextRightHint

    readonly property TableSizes sizes: Theme.table
    readonly property bool idle: line.verb === ""
    readonly property real middle: line.height / 2

    implicitHeight: line.sizes.line
    color: Theme.panel
    Accessible.role: Accessible.EditableText
    Accessible.name: line.idle ? "Number line. Left: " + line.leftWord + " " + line.leftValue + ". Right: " + line.rightWord + " " + line.rightValue : "Number line. " + line.verb + ". " + line.hint

    LineEnd {
        visible: line.idle
        x: line.sizes.margin
        middle: line.middle
        path: Marks.leftward
        word: line.leftWord
        value: line.leftValue
        hint: line.leftHint
        atLeft: true
    }

    LineEnd {
        visible: line.idle
        x: line.width - line.sizes.margin - width
        middle: line.middle
        path: Marks.rightward
        word: line.rightWord
        value: line.rightValue
        hint: line.rightHint
        atLeft: false
    }

    Row {
        id: form

        visible: !line.idle
        x: line.sizes.margin
        spacing: Theme.s4
        height: line.height

        Icon {
            visible: line.verbMark !== ""
            y: Math.round(line.middle - height / 2)
            path: line.verbMark
            size: line.sizes.verb
        }

        Words {
            mid: line.middle
            size: line.sizes.verb
            bold: true
            text: line.verb
        }

        Repeater {
            model: line.slots

            SlotBox {
                required property LineSlot modelData

                slot: modelData
                middle: line.middle
            }
        }

        Words {
            mid: line.middle
            size: line.sizes.body
            text: line.hint
            color: Theme.dim
        }
    }

    Rectangle {
        visible: line.idle && line.caret
        x: 582
        y: Math.round(line.middle - height / 2)
        width: Theme.ring
        height: 36
        color: Theme.ink
    }

    Words {
        visible: line.idle
        x: 582 + Theme.s3
        mid: line.middle
        size: line.typed !== "" ? line.sizes.verb : line.sizes.body
        bold: line.typed !== ""
        text: line.typed !== "" ? line.typed : line.prompt
        color: line.typed !== "" ? Theme.ink : Theme.dim
    }

    Words {
        visible: !line.idle
        x: line.width - line.sizes.margin - width
        mid: line.middle
        size: line.sizes.body
        text: line.message
        color: Theme.dim
    }
}
