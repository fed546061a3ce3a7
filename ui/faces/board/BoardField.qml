pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Templates as T
import Crewlink.Ui

// A line to type in on the board, under its label; Enter sends it.
Item {
    id: box

    required property string label
    property string name: ""
    property int most: 70
    readonly property string text: field.text

    readonly property BoardSizes sizes: Theme.board

    signal entered

    function begin() {
        field.text = "";
        field.forceActiveFocus(Qt.TabFocusReason);
    }

    implicitHeight: 120

    Words {
        bl: 30
        size: box.sizes.small
        text: box.label
        color: Theme.dim
    }

    T.TextField {
        id: field

        objectName: box.name
        y: 48
        width: box.width
        height: 72
        leftPadding: Theme.s5
        rightPadding: Theme.s5
        verticalAlignment: TextInput.AlignVCenter
        maximumLength: box.most
        inputMethodHints: Qt.ImhNoPredictiveText
        selectByMouse: true
        color: Theme.ink
        selectionColor: Theme.ink
        selectedTextColor: Theme.ground
        font.family: Theme.family
        font.pixelSize: box.sizes.body
        font.features: {
            "calt": 0
        }
        renderType: Text.QtRendering
        Accessible.name: box.label
        onAccepted: box.entered()

        background: Rectangle {
            radius: Theme.padRadius
            color: Theme.panel
            border {
                width: Theme.outline
                color: field.activeFocus ? Theme.ink : Theme.line
            }
        }

        FocusRing {
            visible: field.activeFocus
            z: 1
        }
    }
}
