pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Names the other theme and goes to it.
Press {
    id: word

    required property int size

    text: Theme.otherWord
    implicitWidth: content.wide + 2 * Theme.s2
    Accessible.name: Theme.otherWord + " theme"
    onActed: Theme.bright = !Theme.bright

    contentItem: Item {
        id: content

        readonly property real wide: word.size + Theme.s2 + label.implicitWidth

        implicitWidth: wide

        Icon {
            x: Theme.s2
            y: Math.round((content.height - height) / 2)
            path: Marks.theme
            size: word.size
        }

        Words {
            id: label

            x: Theme.s2 + word.size + Theme.s2
            mid: content.height / 2
            size: word.size
            text: word.text
        }
    }
}
