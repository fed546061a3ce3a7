pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A box of the number line: label, value over an underline, 3 px thick on the live one with a caret.
Item {
    id: box

    required property LineSlot slot
    required property real middle

    readonly property TableSizes sizes: Theme.table

    width: label.implicitWidth + Theme.s3 + field.width
    height: 2 * box.middle
    Accessible.role: Accessible.StaticText
    Accessible.name: box.slot.label + " " + (box.slot.value !== "" ? box.slot.value : "empty")

    Words {
        id: label

        mid: box.middle
        size: box.sizes.body
        text: box.slot.label
        color: Theme.dim
    }

    Item {
        id: field

        x: label.implicitWidth + Theme.s3
        width: Math.max(48, value.implicitWidth + Theme.s4)
        height: parent.height

        Words {
            id: value

            anchors.horizontalCenter: parent.horizontalCenter
            mid: box.middle
            size: box.sizes.verb
            bold: true
            text: box.slot.value
        }

        Rectangle {
            y: Math.round(box.middle + box.sizes.verb * 0.65)
            width: field.width
            height: box.slot.live ? Theme.ring : Theme.hairline
            color: box.slot.live ? Theme.ink : Theme.line
        }

        Rectangle {
            visible: box.slot.live
            x: value.x + value.implicitWidth + Theme.s1
            y: Math.round(box.middle - height / 2)
            width: Theme.ring
            height: box.sizes.verb
            color: Theme.ink
        }
    }
}
