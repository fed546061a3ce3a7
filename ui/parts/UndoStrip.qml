pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// What was just done can be undone for 6 s: the sentence and six steps of 28 x 20, one a second, filled while left.
Item {
    id: strip

    required property FaceSizes sizes
    required property int remaining
    property int steps: 6
    property string words: "Undo for " + strip.remaining + " s"

    implicitWidth: label.implicitWidth + Theme.s4 + strip.steps * 28 + (strip.steps - 1) * Theme.s2
    implicitHeight: strip.sizes.body
    Accessible.role: Accessible.StaticText
    Accessible.name: strip.words

    Words {
        id: label

        mid: strip.height / 2
        size: strip.sizes.body
        bold: true
        text: strip.words
    }

    Row {
        x: label.implicitWidth + Theme.s4
        y: Math.round((strip.height - height) / 2)
        spacing: Theme.s2

        Repeater {
            model: strip.steps

            Rectangle {
                required property int index

                width: 28
                height: 20
                color: index < strip.remaining ? Theme.ink : Theme.clear
                border {
                    width: Theme.outline
                    color: Theme.line
                }
            }
        }
    }
}
