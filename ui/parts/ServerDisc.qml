pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A number in a disc: ink-filled for the server due, with a notice's fill for the number it is about.
Rectangle {
    id: disc

    required property string number
    required property int size
    property int across: Math.round(disc.size * 1.5)
    property string level: ""
    property bool quiet: false

    width: disc.across
    height: disc.across
    radius: disc.across / 2
    color: disc.quiet ? Theme.clear : disc.level !== "" ? Theme.fill(disc.level) : Theme.ink
    border {
        width: disc.level !== "" || disc.quiet ? Theme.outline : 0
        color: disc.quiet ? Theme.off : Theme.ink
    }

    Words {
        anchors.horizontalCenter: parent.horizontalCenter
        mid: disc.height / 2
        size: disc.size
        bold: !disc.quiet
        text: disc.number
        color: disc.quiet ? Theme.off : disc.level !== "" ? Theme.fillInk(disc.level) : Theme.ground
    }
}
