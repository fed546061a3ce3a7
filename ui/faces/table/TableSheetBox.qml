pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A box of a line-up sheet: its label, its number, the frame and flag of a fault, the ring of the keys.
Rectangle {
    id: box

    required property string key
    required property string label
    required property string value
    required property bool live
    required property int flag
    required property bool captain
    required property TableSizes sizes

    readonly property bool words: box.key === "signature"

    color: Theme.panel
    border {
        width: box.flag > 0 ? Theme.frame : Theme.outline
        color: box.flag > 0 ? Theme.ink : Theme.line
    }
    Accessible.role: Accessible.StaticText
    Accessible.name: box.label + " " + (box.value !== "" ? box.value : "blank") + (box.flag > 0 ? ", fault " + box.flag : "")

    Words {
        x: Theme.s3
        bl: 26
        size: box.sizes.small
        text: box.key.length === 1 ? box.key : box.words ? "signature" : box.label
        color: Theme.dim
    }

    Words {
        id: value

        x: Math.round((box.width - width) / 2)
        mid: box.height / 2 + Theme.s2
        size: box.words ? box.sizes.body : box.height > 110 ? box.sizes.sheetNumber : box.sizes.sets
        bold: !box.words
        text: box.value
    }

    Rectangle {
        visible: box.captain
        x: value.x
        y: Math.round(value.y + value.baselineOffset + Theme.s2)
        width: value.width
        height: Theme.frame
        color: Theme.ink
    }

    Rectangle {
        visible: box.flag > 0
        x: box.width - width
        width: 34
        height: 34
        color: Theme.ink

        Words {
            x: Math.round((parent.width - width) / 2)
            mid: 17
            size: box.sizes.body
            bold: true
            text: String(box.flag)
            color: Theme.ground
        }
    }

    Rectangle {
        visible: box.live
        anchors.fill: parent
        anchors.margins: -Theme.s1
        color: Theme.clear
        border {
            width: Theme.ring
            color: Theme.ink
        }
    }
}
