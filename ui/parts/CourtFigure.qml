pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One player's number on the court: box for the libero, bar for the captain, ring for the one meant, fill for the
// one a notice is about. Centred on its own x and y.
Item {
    id: figure

    required property int number
    required property int size
    required property bool libero
    required property bool captain
    property bool calm: false
    property bool meant: false
    property string level: ""

    readonly property color tone: figure.level !== "" ? Theme.fillInk(figure.level) : figure.calm ? Theme.off : Theme.ink
    readonly property real half: figure.size * 0.78

    Rectangle {
        visible: figure.libero && figure.level === ""
        x: -figure.half
        y: -figure.size * 0.62
        width: 2 * figure.half
        height: figure.size * 1.24
        color: Theme.clear
        border {
            width: Theme.outline
            color: Theme.line
        }
    }

    Rectangle {
        visible: figure.meant || figure.level !== ""
        x: -width / 2
        y: -height / 2
        width: Math.round(figure.size * 1.5)
        height: width
        radius: width / 2
        color: figure.level !== "" ? Theme.fill(figure.level) : Theme.clear
        border {
            width: figure.meant ? Theme.ring : Theme.outline
            color: Theme.ink
        }
    }

    Words {
        id: digits

        x: -Math.round(implicitWidth / 2)
        y: Math.round(capital * size / 2 - baselineOffset)
        size: figure.size
        bold: !figure.calm
        text: String(figure.number)
        color: figure.tone
    }

    Rectangle {
        visible: figure.captain
        x: digits.x
        y: figure.size * 0.5
        width: digits.implicitWidth
        height: Theme.frame
        color: figure.tone
    }
}
