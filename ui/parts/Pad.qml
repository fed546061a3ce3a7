pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A touch pad: mark and label, a second line if it has one. Raised is the usual one, Filled is chosen or
// suggested (one a region), Outlined stands back. Give `objectName` as face.region.thing.
Press {
    id: pad

    enum Kind {
        Raised,
        Filled,
        Outlined
    }

    required property FaceSizes sizes
    property string path: ""
    property string detail: ""
    property int kind: Pad.Raised
    property bool centred: false
    property int labelSize: pad.sizes.body
    property int markSize: pad.sizes.mark
    property int inset: Theme.s5

    readonly property color tone: !pad.enabled ? Theme.off : pad.kind === Pad.Filled ? Theme.ground : Theme.ink
    readonly property bool twoLines: pad.detail !== ""

    implicitWidth: pad.sizes.target
    implicitHeight: pad.sizes.target
    Accessible.name: pad.twoLines ? pad.text + ", " + pad.detail : pad.text

    background: Rectangle {
        radius: Theme.padRadius
        color: pad.kind === Pad.Filled ? Theme.ink : pad.kind === Pad.Raised && pad.enabled ? Theme.raised : Theme.clear
        border {
            width: pad.pressed ? Theme.frame : pad.kind === Pad.Outlined || Theme.bright || !pad.enabled ? Theme.outline : 0
            color: pad.pressed ? (pad.kind === Pad.Filled ? Theme.line : Theme.ink) : pad.enabled ? Theme.line : Theme.hair

            Behavior on color {
                ColorAnimation {
                    duration: Theme.press
                }
            }
        }
    }

    contentItem: Item {
        Item {
            id: content

            readonly property int textX: pad.path !== "" ? pad.markSize + Theme.s4 : 0

            x: pad.centred ? Math.round((parent.width - width) / 2) : pad.inset
            width: textX + Math.max(label.implicitWidth, second.implicitWidth)
            height: parent.height

            Icon {
                visible: pad.path !== ""
                y: Math.round((parent.height - height) / 2)
                path: pad.path
                size: pad.markSize
                tone: pad.tone
            }

            Words {
                id: label

                x: content.textX
                mid: pad.twoLines ? content.height / 2 - second.size * 0.6 : content.height / 2
                size: pad.labelSize
                bold: true
                text: pad.text
                color: pad.tone
            }

            Words {
                id: second

                x: content.textX
                mid: content.height / 2 + label.size * 0.6
                visible: pad.twoLines
                size: pad.sizes.small
                text: pad.detail
                color: pad.kind === Pad.Filled ? Theme.ground : pad.enabled ? Theme.dim : Theme.off
            }
        }
    }
}
