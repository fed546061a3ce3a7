pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One digit of a code over its line; the live one has a thick line and a caret.
Item {
    id: box

    required property string digit
    required property bool live
    required property bool slip

    Words {
        id: figure

        anchors.horizontalCenter: parent.horizontalCenter
        bl: 102
        size: Theme.setup.typedDigit
        bold: true
        text: box.digit
    }

    Rectangle {
        visible: box.live
        x: Math.round((box.width - width) / 2)
        y: 20
        width: Theme.frame
        height: 82
        color: Theme.ink
    }

    Rectangle {
        y: 118
        width: box.width
        height: box.live || box.slip ? Theme.heavy : Theme.outline
        color: box.live || box.slip ? Theme.ink : Theme.line
    }
}
