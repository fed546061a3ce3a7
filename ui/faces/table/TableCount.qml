pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A label and its value at the two ends of a row; a value too long for that stands under the label.
Item {
    id: count

    required property string label
    required property string value

    readonly property TableSizes sizes: Theme.table
    readonly property bool under: ruler.implicitWidth + title.implicitWidth + Theme.s3 > count.width

    height: count.under ? 32 + value.lineCount * 22 : count.sizes.row
    Accessible.role: Accessible.StaticText
    Accessible.name: count.label + " " + count.value

    Words {
        id: title

        mid: Theme.s4
        size: count.sizes.small
        text: count.label
        color: Theme.dim
    }

    Words {
        id: ruler

        visible: false
        size: count.sizes.body
        bold: true
        text: count.value
    }

    Words {
        id: value

        x: count.width - width
        width: count.under ? count.width : ruler.implicitWidth
        mid: count.under ? 40 : Theme.s4
        size: count.under ? count.sizes.small : count.sizes.body
        bold: true
        text: count.value
        wrapMode: count.under ? Text.WordWrap : Text.NoWrap
        horizontalAlignment: count.under ? Text.AlignRight : Text.AlignLeft
    }
}
