pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A pad with an arrow alone; the words are those of the row it stands in, and its spoken name says what it does.
Press {
    id: arrow

    required property string path
    required property string spoken
    property int markSize: Theme.setup.mark

    implicitWidth: Theme.setup.target
    implicitHeight: Theme.setup.target
    Accessible.name: arrow.spoken

    background: Rectangle {
        radius: Theme.padRadius
        color: Theme.raised
        border {
            width: arrow.pressed ? Theme.frame : Theme.bright ? Theme.outline : 0
            color: arrow.pressed ? Theme.ink : Theme.line
        }
    }

    contentItem: Item {
        Icon {
            anchors.centerIn: parent
            path: arrow.path
            size: arrow.markSize
        }
    }
}
