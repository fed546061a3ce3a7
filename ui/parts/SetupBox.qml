pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Templates as T
import Crewlink.Ui

// A box to type in, under its label. A defect gives it a 4 px frame and a flag whose number leads to the line that
// says why. The text in it is the field's own, in the tokens of Words.
Item {
    id: box

    required property string label
    required property string value
    property string name: ""
    property string hint: ""
    property int flag: 0
    property int most: 200
    property bool figures: false

    readonly property SetupSizes sizes: Theme.setup
    readonly property bool live: field.activeFocus

    signal typed(string text)

    implicitHeight: 28 + box.sizes.box

    Words {
        bl: 18
        size: box.sizes.small
        text: box.label
        color: Theme.dim
    }

    T.TextField {
        id: field

        objectName: box.name
        y: 28
        width: box.width
        height: box.sizes.box
        leftPadding: Theme.s4
        rightPadding: box.flag > 0 ? 34 + Theme.s2 : Theme.s4
        verticalAlignment: TextInput.AlignVCenter
        text: box.value
        maximumLength: box.most
        inputMethodHints: box.figures ? Qt.ImhPreferNumbers | Qt.ImhNoPredictiveText : Qt.ImhNoPredictiveText
        selectByMouse: true
        color: Theme.ink
        selectionColor: Theme.ink
        selectedTextColor: Theme.ground
        font.family: Theme.family
        font.pixelSize: box.sizes.typing
        font.features: {
            "calt": 0
        }
        renderType: Text.QtRendering
        Accessible.name: box.label
        Accessible.description: box.flag > 0 ? "Not right yet, see line " + box.flag : box.hint
        onTextEdited: box.typed(text)

        background: Rectangle {
            radius: Theme.padRadius
            color: Theme.panel
            border {
                width: box.flag > 0 ? Theme.frame : Theme.outline
                color: box.flag > 0 || field.activeFocus ? Theme.ink : Theme.line
            }
        }

        FocusRing {
            visible: field.activeFocus
            z: 1
        }
    }

    Words {
        visible: field.text === "" && box.hint !== ""
        x: Theme.s4
        mid: field.y + field.height / 2
        size: box.sizes.body
        text: box.hint
        color: Theme.off
    }

    SetupFlag {
        visible: box.flag > 0
        x: box.width - width
        y: field.y
        number: box.flag
    }
}
