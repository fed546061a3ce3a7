pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A box of the number line: label, value over an underline, 3 px thick on the live one with a caret.
Item {
    id: box

    required property string label
    required property string value
    required property bool live
    required property bool picks
    required property real middle

    readonly property TableSizes sizes: Theme.table

    width: title.implicitWidth + Theme.s2 + field.width
    height: 2 * box.middle
    Accessible.role: Accessible.StaticText
    Accessible.name: box.label + " " + (box.value !== "" ? box.value : "empty")

    Words {
        id: title

        mid: box.middle
        size: box.sizes.body
        text: box.label
        color: Theme.dim
    }

    Item {
        id: field

        x: title.implicitWidth + Theme.s2
        width: Math.max(48, value.implicitWidth + Theme.s4)
        height: parent.height

        Words {
            id: value

            x: Math.round((field.width - implicitWidth) / 2)
            mid: box.middle
            size: box.picks ? box.sizes.body : box.sizes.verb
            bold: true
            text: box.value
        }

        Rectangle {
            y: Math.round(box.middle + box.sizes.verb * 0.65)
            width: field.width
            height: box.live ? Theme.ring : Theme.hairline
            color: box.live ? Theme.ink : Theme.line
        }

        Rectangle {
            visible: box.live && !box.picks
            x: value.x + value.implicitWidth + Theme.s1
            y: Math.round(box.middle - height / 2)
            width: Theme.ring
            height: box.sizes.verb
            color: Theme.ink
        }
    }
}
