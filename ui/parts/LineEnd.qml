pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// An end of the number line: the arrow key, what it writes, the score that follows and what that means. A pointer may
// click it. While the key is down it is framed: it acts when the key comes up. `guarded`: outlined, it asks for a second press.
Press {
    id: end

    required property string path
    required property string word
    required property string value
    required property string hint
    required property bool atLeft
    property bool pressing: false
    property bool guarded: false

    readonly property TableSizes sizes: Theme.table
    readonly property real middle: end.height / 2

    focusPolicy: Qt.NoFocus
    text: end.word
    implicitWidth: row.wide
    Accessible.name: [end.word, end.value, end.hint].filter(part => part !== "").join(" ")

    contentItem: Item {
        id: row

        readonly property real wide: cap.width + content.width + Theme.s4

        KeyCap {
            id: cap

            x: end.atLeft ? 0 : end.width - width
            y: Math.round(end.middle - height / 2)
            high: 52
            path: end.path
            lit: !end.guarded
        }

        Rectangle {
            visible: end.pressing
            x: cap.x - Theme.heavy
            y: cap.y - Theme.heavy
            width: cap.width + 2 * Theme.heavy
            height: cap.height + 2 * Theme.heavy
            radius: Theme.padRadius
            color: Theme.clear
            border {
                width: Theme.ring
                color: Theme.ink
            }
        }

        Row {
            id: content

            x: end.atLeft ? cap.width + Theme.s4 : end.width - cap.width - Theme.s4 - width
            height: end.height
            spacing: Theme.s4
            layoutDirection: end.atLeft ? Qt.LeftToRight : Qt.RightToLeft

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
                visible: text !== ""
                mid: end.middle
                size: end.sizes.body
                text: end.hint
                color: Theme.dim
            }
        }
    }
}
