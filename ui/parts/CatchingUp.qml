pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// In the place of an empty court, while the match comes over from the other devices: how much of it is here.
Item {
    id: page

    required property WriterLook writer
    required property FaceSizes sizes
    property int inset: page.sizes.margin

    readonly property bool counted: page.writer.catchUpText !== ""
    readonly property int wide: Math.min(page.width - 2 * page.inset, 680)

    Accessible.role: Accessible.StaticText
    Accessible.name: title.text + ". " + how.text

    Column {
        x: Math.round((page.width - page.wide) / 2)
        y: Math.round((page.height - height) / 2)
        width: page.wide
        spacing: Theme.s4

        Words {
            id: title

            objectName: "catching.title"
            width: page.wide
            horizontalAlignment: Text.AlignHCenter
            wrapMode: Text.WordWrap
            size: page.sizes.strong
            bold: true
            text: page.counted ? "Getting the match" : "Waiting for the match"
        }

        Rectangle {
            visible: page.counted
            width: page.wide
            height: Theme.s5
            color: Theme.clear
            border {
                width: Theme.outline
                color: Theme.line
            }

            Rectangle {
                x: Theme.outline
                y: Theme.outline
                width: Math.round((parent.width - 2 * Theme.outline) * page.writer.catchUpShare)
                height: parent.height - 2 * Theme.outline
                color: Theme.ink
            }
        }

        Words {
            id: how

            objectName: "catching.text"
            width: page.wide
            horizontalAlignment: Text.AlignHCenter
            wrapMode: Text.WordWrap
            size: page.sizes.body
            color: Theme.dim
            text: page.counted ? page.writer.catchUpText : "It comes by itself once another device is linked."
        }
    }
}
