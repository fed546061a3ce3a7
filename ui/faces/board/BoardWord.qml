pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A word that can be pressed, with its key in front of it.
Press {
    id: word

    property string hint: ""

    implicitWidth: content.wide + 2 * Theme.s3
    implicitHeight: 68
    Keys.onReturnPressed: word.acted()
    Keys.onEnterPressed: word.acted()

    contentItem: Item {
        id: content

        readonly property real wide: key.implicitWidth + Theme.s3 + label.implicitWidth

        Words {
            id: key

            x: Theme.s3
            mid: content.height / 2
            size: Theme.board.small
            bold: true
            text: word.hint
        }

        Words {
            id: label

            x: Theme.s3 + key.implicitWidth + Theme.s3
            mid: content.height / 2
            size: Theme.board.small
            text: word.text
        }
    }
}
