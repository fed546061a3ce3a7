pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// An end of the number line: the arrow key, what it writes, the score that follows and what that means.
Item {
    id: end

    required property real middle
    required property string path
    required property string word
    required property string value
    required property string hint
    required property bool atLeft

    readonly property TableSizes sizes: Theme.table

    width: content.width
    height: 2 * end.middle
    Accessible.role: Accessible.StaticText
    Accessible.name: end.word + " " + end.value + " " + end.hint

    Row {
        id: content

        height: parent.height
        spacing: Theme.s4
        layoutDirection: end.atLeft ? Qt.LeftToRight : Qt.RightToLeft

        KeyCap {
            y: Math.round(end.middle - height / 2)
            path: end.path
            lit: true
        }

        Words {
            mid: end.middle
            size: end.sizes.body
            text: end.word
        }

        Words {
            mid: end.middle
            size: end.sizes.verb
            bold: true
            text: end.value
        }

        Words {
            mid: end.middle
            size: end.sizes.body
            text: end.hint
            color: Theme.dim
        }
    }
}
