pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The numbers as they were read: a libero in a box, the captain with the bar under the number.
Flow {
    id: numbers

    required property var chips

    spacing: Theme.s1

    Repeater {
        model: numbers.chips

        Item {
            id: chip

            required property int number
            required property bool libero
            required property bool captain

            width: 54
            height: 48
            Accessible.role: Accessible.StaticText
            Accessible.name: chip.number + (chip.libero ? ", libero" : "") + (chip.captain ? ", captain" : "")

            Rectangle {
                visible: chip.libero
                anchors.fill: parent
                anchors.margins: Theme.outline
                color: Theme.clear
                border {
                    width: Theme.outline
                    color: Theme.line
                }
            }

            Words {
                id: figure

                anchors.horizontalCenter: parent.horizontalCenter
                mid: chip.height / 2 - 1
                size: Theme.setup.chip
                bold: true
                text: String(chip.number)
            }

            Rectangle {
                visible: chip.captain
                x: figure.x
                y: 37
                width: figure.width
                height: Theme.frame
                color: Theme.ink
            }
        }
    }
}
