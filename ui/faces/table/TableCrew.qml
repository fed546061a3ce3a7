pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who writes, and the devices of this court. What can be done about who writes stands left, the devices right; Up and
// Down choose a row, Enter or a click opens it in the number line.
Item {
    id: page

    required property CourtView view

    readonly property TableSizes sizes: Theme.table
    readonly property WriterLook writer: page.view.writer
    readonly property DeskPanel panel: page.view.desk.panel
    readonly property int half: Math.floor((page.width - 2 * page.sizes.margin - 2 * Theme.s6) / 2)

    Accessible.role: Accessible.List
    Accessible.name: "Who writes, devices of this court"

    Column {
        x: page.sizes.margin
        y: Theme.s5
        width: page.half
        spacing: Theme.s3

        Words {
            objectName: "table.crew.writer"
            size: page.sizes.strong
            bold: true
            width: page.half
            wrapMode: Text.WordWrap
            text: page.writer.text
        }

        Words {
            visible: text !== ""
            size: page.sizes.body
            text: page.writer.askingText !== "" ? page.writer.askingText : page.writer.sinceText + (page.writer.sinceText !== "" ? ", " : "") + page.view.savedText
            color: Theme.dim
        }

        Repeater {
            model: page.panel.crew

            TableCrewAct {
                id: act

                required property string reach
                required property int index

                visible: act.reach === ""
                width: page.half
                onActed: page.view.desk.pick("crew", act.index)
            }
        }

        Repeater {
            model: page.writer.records

            RecordLines {
                width: page.half
                sizes: page.sizes
            }
        }

        Rectangle {
            objectName: "table.crew.warning"
            visible: page.panel.warned !== ""
            width: page.half
            height: 96
            color: Theme.clear
            radius: Theme.plateRadius
            border {
                width: Theme.frame
                color: Theme.ink
            }

            Words {
                x: 20
                mid: 30
                size: page.sizes.body
                bold: true
                text: "Sure?"
            }

            Words {
                x: 20
                y: 48
                width: parent.width - 40
                wrapMode: Text.WordWrap
                size: page.sizes.small
                text: page.panel.warned
            }
        }
    }

    Column {
        x: page.sizes.margin + page.half + 2 * Theme.s6
        y: Theme.s5
        width: page.half

        Words {
            size: page.sizes.strong
            bold: true
            text: "Devices of this court"
            bottomPadding: Theme.s3
        }

        Repeater {
            model: page.panel.crew

            DeviceRow {
                id: device

                required property string key
                required property string words
                required property bool focused
                required property int index

                objectName: "table.crew.device." + device.words
                visible: device.reach !== ""
                width: page.half
                height: 52
                sizes: page.sizes
                word: device.words
                filled: device.focused
                focusPolicy: Qt.NoFocus
                onActed: page.view.desk.pick("crew", device.index)
            }
        }
    }
}
