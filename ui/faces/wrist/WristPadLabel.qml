pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A mark and a word in the middle of the face, as on a pad.
Item {
    id: label

    required property WristShape shape
    required property string text
    required property string path
    required property real mid
    property int markSize: Theme.wrist.mark

    x: Math.round((label.shape.wide - width) / 2)
    y: Math.round(label.mid - height / 2)
    width: words.x + words.width
    height: label.markSize

    Icon {
        path: label.path
        size: label.markSize
    }

    Words {
        id: words

        x: label.markSize + Theme.s5
        mid: label.height / 2
        size: Theme.wrist.body
        bold: true
        text: label.text
    }
}
