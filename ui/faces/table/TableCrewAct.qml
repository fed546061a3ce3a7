pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Something that can be done about who writes; with the focus it is ink-filled.
Press {
    id: act

    required property string key
    required property string words
    required property bool focused

    objectName: "table.crew." + act.key.split("/")[0]
    implicitHeight: 52
    text: act.words
    focusPolicy: Qt.NoFocus

    background: Rectangle {
        radius: Theme.padRadius
        color: act.focused ? Theme.ink : Theme.raised
        border {
            width: Theme.bright && !act.focused ? Theme.outline : 0
            color: Theme.line
        }
    }

    contentItem: Item {
        Words {
            x: Theme.s4
            mid: 26
            size: Theme.table.body
            bold: true
            text: act.words
            color: act.focused ? Theme.ground : Theme.ink
        }
    }
}
