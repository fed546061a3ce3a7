pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The flag of a defect: an ink square with the number of the line that says what is wrong.
Rectangle {
    id: flag

    required property int number

    width: 34
    height: 34
    color: Theme.ink
    Accessible.ignored: true

    Words {
        anchors.horizontalCenter: parent.horizontalCenter
        mid: flag.height / 2
        size: Theme.setup.body
        bold: true
        text: String(flag.number)
        color: Theme.ground
    }
}
