pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The end of the rail: who is linked and who writes, then what is saved, or how far this device has caught up, or that
// it can't save. Pressed it leads to the devices of the court.
Press {
    id: crew

    required property CourtView view
    required property int size
    property bool withSaved: true

    width: told.width + 2 * Theme.s2
    text: "Devices of this court"
    focusPolicy: Qt.NoFocus
    Accessible.name: crew.text + ". " + crew.view.writer.text

    contentItem: Item {
        Row {
            id: told

            x: Theme.s2
            y: Math.round((parent.height - height) / 2)
            spacing: Theme.s5

            Repeater {
                model: crew.view.links

                PostLinkMark {
                    size: crew.size
                }
            }

            Item {
                id: safe

                readonly property bool failing: crew.view.storageText !== ""
                readonly property bool coming: !safe.failing && crew.view.writer.catchUpText !== ""

                visible: crew.withSaved || safe.coming || safe.failing
                implicitWidth: saved.x + saved.implicitWidth
                implicitHeight: crew.size

                Icon {
                    path: safe.failing ? Marks.cross : safe.coming || crew.view.savedText === "saving" ? Marks.wait : Marks.answered
                    size: crew.size
                    tone: safe.failing ? Theme.ink : Theme.dim
                    weight: safe.failing ? 3 : 2
                }

                Words {
                    id: saved

                    x: crew.size + Theme.s2
                    mid: parent.height / 2
                    size: crew.size
                    bold: safe.failing
                    text: safe.coming ? crew.view.writer.catchUpText : crew.view.savedText
                    color: safe.failing ? Theme.ink : Theme.dim
                }
            }
        }
    }
}
