pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One place of the key strip: a cap and what it does in two lines. A pointer may click it too.
Press {
    id: stop

    required property KeyWord meaning
    property string key: ""
    property string path: ""

    enabled: !stop.meaning.idle
    focusPolicy: Qt.NoFocus
    text: stop.meaning.word
    implicitWidth: Math.max(44, content.wide)
    implicitHeight: 44
    Accessible.name: stop.text + (stop.meaning.hint !== "" ? ", " + stop.meaning.hint : "") + ", key " + (stop.key !== "" ? stop.key : stop.objectName.split(".").pop())

    contentItem: Item {
        id: content

        readonly property real wide: cap.width + Theme.s3 + Math.max(word.implicitWidth, hint.implicitWidth)
        readonly property bool two: stop.meaning.hint !== ""

        KeyCap {
            id: cap

            key: stop.key
            path: stop.path
            lit: stop.meaning.lit
            idle: stop.meaning.idle
        }

        Words {
            id: word

            x: cap.width + Theme.s3
            mid: content.two ? Theme.s3 - 1 : cap.height / 2
            size: Theme.table.small
            bold: stop.meaning.lit
            text: stop.meaning.word
            color: stop.meaning.idle ? Theme.off : Theme.ink
        }

        Words {
            id: hint

            x: word.x
            mid: cap.height - Theme.s3 + 1
            size: Theme.table.small
            text: stop.meaning.hint
            color: stop.meaning.idle ? Theme.off : Theme.dim
        }
    }
}
