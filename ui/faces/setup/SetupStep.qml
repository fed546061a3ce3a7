pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One value that is stepped: label above, value below, two arrows at the right (up and down for a number, left and
// right for a choice). `detail`: what it means.
Item {
    id: step

    required property string label
    required property string value
    required property string name
    property bool choice: false
    property string detail: ""
    property int flag: 0

    readonly property SetupSizes sizes: Theme.setup

    signal stepped(int by)

    implicitHeight: step.sizes.target + (step.detail !== "" ? 26 : 0)

    Words {
        x: step.flag > 0 ? 34 + Theme.s3 : 0
        bl: 22
        size: step.sizes.small
        text: step.label
        color: Theme.dim
    }

    Words {
        bl: 54
        x: step.flag > 0 ? 34 + Theme.s3 : 0
        size: step.sizes.body
        bold: true
        text: step.value
    }

    Words {
        visible: step.detail !== ""
        bl: 84
        size: step.sizes.small
        text: step.detail
        color: Theme.dim
    }

    SetupFlag {
        visible: step.flag > 0
        y: 15
        number: step.flag
    }

    SetupArrow {
        objectName: step.name + ".less"
        x: step.width - 2 * width - step.sizes.gap
        path: step.choice ? Marks.leftward : Marks.downward
        spoken: step.label + " " + step.value + (step.choice ? ", the one before" : ", one less")
        onActed: step.stepped(-1)
    }

    SetupArrow {
        objectName: step.name + ".more"
        x: step.width - width
        path: step.choice ? Marks.rightward : Marks.upward
        spoken: step.label + " " + step.value + (step.choice ? ", the next one" : ", one more")
        onActed: step.stepped(1)
    }
}
