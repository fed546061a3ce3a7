pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// What is wrong on a page, one line each, with the flag that the box wears.
Column {
    id: faults

    required property var lines

    spacing: Theme.s2

    Repeater {
        model: faults.lines

        Item {
            id: line

            required property int flag
            required property string sentence

            width: faults.width
            height: Math.max(34, words.height)

            SetupFlag {
                number: line.flag
            }

            Words {
                id: words

                x: 34 + Theme.s3
                y: Math.round((34 - size * 1.21) / 2)
                width: line.width - x
                size: Theme.setup.small
                wrapMode: Text.WordWrap
                text: line.sentence
            }
        }
    }
}
