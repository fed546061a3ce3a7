pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The acts that Up or Down steps through, in two columns; the open one is ink-filled. F-keys: left team, right team.
Item {
    id: list

    required property DeskPanel panel

    readonly property TableSizes sizes: Theme.table
    readonly property int half: Math.ceil(acts.count / 2)
    readonly property int step: Math.min(34, Math.floor((list.height - 50) / Math.max(1, list.half)))
    readonly property int wide: Math.floor((list.width - Theme.s5) / 2)

    Words {
        bl: 26
        size: list.sizes.strong
        bold: true
        text: list.panel.actsTitle
    }

    Words {
        x: list.width - width
        bl: 26
        size: list.sizes.small
        text: list.panel.actsTitle === "Tell the crew" ? "Up: the next one" : "Down: the next one. F-keys: left team, right team"
        color: Theme.dim
    }

    Rectangle {
        y: 44
        width: list.width
        height: Theme.hairline
        color: Theme.hair
    }

    Repeater {
        id: acts

        model: list.panel.acts

        Rectangle {
            id: act

            required property string words
            required property string keys
            required property bool chosen
            required property int index

            x: act.index < list.half ? 0 : list.wide + Theme.s5
            y: 50 + (act.index % Math.max(1, list.half)) * list.step
            width: list.wide
            height: list.step
            radius: Theme.s2
            color: act.chosen ? Theme.ink : Theme.clear
            Accessible.role: Accessible.ListItem
            Accessible.name: act.words + (act.keys !== "" ? ", " + act.keys : "") + (act.chosen ? ", open" : "")

            Words {
                x: Theme.s3
                mid: act.height / 2
                size: list.sizes.small
                bold: act.chosen
                text: act.words
                color: act.chosen ? Theme.ground : Theme.ink
            }

            Words {
                x: act.width - width - Theme.s3
                mid: act.height / 2
                size: list.sizes.small
                text: act.keys
                color: act.chosen ? Theme.ground : Theme.dim
            }
        }
    }
}
