pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Floor and lines, drawn to scale: outline, attack lines at 3 m with dashed extensions, service-zone ticks, the net
// with a disc at each post.
Rectangle {
    id: lines

    required property int overhang

    readonly property real metre: lines.width / 18

    color: Theme.panel
    border {
        width: Theme.outline
        color: Theme.line
    }
    Accessible.ignored: true

    Repeater {
        model: [6, 12]

        Item {
            id: attack

            required property int modelData

            x: Math.round(attack.modelData * lines.metre - Theme.outline / 2)

            Rectangle {
                width: Theme.outline
                height: lines.height
                color: Theme.line
            }

            Repeater {
                model: [-lines.overhang, -lines.overhang / 2 + 1, lines.height + 2, lines.height + lines.overhang / 2 + 3]

                Rectangle {
                    required property real modelData

                    y: Math.round(modelData)
                    width: Theme.outline
                    height: Math.round(lines.overhang / 3)
                    color: Theme.line
                }
            }
        }
    }

    Repeater {
        model: [[-lines.overhang, 0], [-lines.overhang, lines.height - Theme.outline], [lines.width + 2, 0], [lines.width + 2, lines.height - Theme.outline]]

        Rectangle {
            required property list<real> modelData

            x: modelData[0]
            y: modelData[1]
            width: lines.overhang - 2
            height: Theme.outline
            color: Theme.line
        }
    }

    Rectangle {
        x: Math.round((lines.width - width) / 2)
        y: -lines.overhang
        width: Theme.heavy
        height: lines.height + 2 * lines.overhang
        color: Theme.ink
    }

    Repeater {
        model: [-lines.overhang, lines.height + lines.overhang]

        Rectangle {
            required property real modelData

            x: Math.round((lines.width - width) / 2)
            y: modelData - height / 2
            width: Theme.s3
            height: Theme.s3
            radius: width / 2
            color: Theme.ink
        }
    }
}
