pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A device of the court: how it is reached, its job, whether it writes. Pressed it is chosen: ink fill.
Press {
    id: row

    required property FaceSizes sizes
    required property string word
    required property string reach
    required property string told
    property bool filled: false
    property bool short: false
    property bool hair: true

    readonly property bool here: row.reach === "here" || row.reach === "linked"
    readonly property color tone: row.filled ? Theme.ground : Theme.ink

    text: row.word
    implicitHeight: row.sizes.target
    Accessible.name: row.word + ", " + row.told

    background: Item {
        Rectangle {
            visible: row.filled
            anchors.fill: parent
            radius: Theme.padRadius
            color: Theme.ink
        }

        Rectangle {
            visible: row.hair && !row.filled
            y: parent.height - height
            width: parent.width
            height: Theme.hairline
            color: Theme.hair
        }
    }

    contentItem: Item {
        id: content

        Icon {
            x: Theme.s3
            y: Math.round((content.height - height) / 2)
            path: row.here ? Marks.linked : Marks.unlinked
            size: row.sizes.small
            tone: row.tone
            weight: row.reach === "lost" ? 3 : 2
        }

        Words {
            id: label

            x: Theme.s3 + row.sizes.small + Theme.s3
            mid: content.height / 2
            size: row.sizes.body
            bold: true
            text: row.word
            color: row.tone
        }

        Words {
            x: content.width - width - Theme.s3
            mid: content.height / 2
            size: row.sizes.small
            bold: row.reach === "lost"
            text: row.short ? row.told.replace("out of reach ", "") : row.told
            color: row.filled ? Theme.ground : row.reach === "lost" ? Theme.ink : Theme.dim
        }
    }
}
