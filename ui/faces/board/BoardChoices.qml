pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A row of choices under a label; the chosen one is filled.
Item {
    id: row

    required property string name
    required property string label
    required property list<string> values
    required property list<string> texts
    required property string chosen

    readonly property BoardSizes sizes: Theme.board

    signal picked(value: string)

    implicitHeight: 124
    implicitWidth: pads.width

    Words {
        bl: 30
        size: row.sizes.small
        text: row.label
        color: Theme.dim
    }

    Row {
        id: pads

        y: 48
        spacing: row.sizes.gap

        Repeater {
            model: row.values

            Pad {
                id: pad

                required property string modelData
                required property int index

                objectName: row.name + "." + (pad.modelData !== "" ? pad.modelData : "all")
                width: content.implicitWidth + 2 * Theme.s6
                height: 72
                sizes: row.sizes
                centred: true
                labelSize: row.sizes.small
                kind: pad.modelData === row.chosen ? Pad.Filled : Pad.Raised
                text: row.texts[pad.index]
                onActed: row.picked(pad.modelData)
                Keys.onReturnPressed: row.picked(pad.modelData)
                Keys.onEnterPressed: row.picked(pad.modelData)

                TextMetrics {
                    id: content

                    readonly property real implicitWidth: content.advanceWidth

                    text: pad.text
                    font.family: Theme.family
                    font.pixelSize: row.sizes.small
                    font.bold: true
                }
            }
        }
    }
}
