pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A key of the keyboard: its name or its arrow. `lit` is the key to press, `idle` a key without use now.
Rectangle {
    id: cap

    property string key: ""
    property string path: ""
    property bool lit: false
    property bool idle: false
    property int high: 44
    property int textSize: Theme.table.small

    readonly property color tone: cap.lit ? Theme.ground : cap.idle ? Theme.off : Theme.ink

    implicitWidth: cap.path !== "" ? cap.high : label.implicitWidth + 2 * Theme.s3
    implicitHeight: cap.high
    radius: Theme.s2
    color: cap.lit ? Theme.ink : Theme.clear
    border {
        width: cap.lit ? 0 : Theme.outline
        color: cap.idle ? Theme.hair : Theme.line
    }

    Words {
        id: label

        anchors.horizontalCenter: parent.horizontalCenter
        mid: cap.height / 2
        size: cap.textSize
        bold: true
        text: cap.key
        color: cap.tone
    }

    Icon {
        visible: cap.path !== ""
        anchors.centerIn: parent
        path: cap.path
        size: 24
        tone: cap.tone
    }
}
