pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who has checked the positions: the table against the score sheet, R2 against the line-up sheet; a fault in words.
Column {
    id: checked

    required property DutiesLook duties

    readonly property NetSizes sizes: Theme.net

    spacing: Theme.s2

    Repeater {
        model: checked.duties.checks

        Item {
            id: row

            required property string who
            required property string stage
            required property string words

            width: checked.width
            height: row.stage === "wrong" ? said.y + said.height : 28
            Accessible.role: Accessible.StaticText
            Accessible.name: row.who + " " + row.words

            Icon {
                y: 2
                path: row.stage === "done" ? Marks.answered : row.stage === "wrong" ? Marks.flag : Marks.wait
                size: 20
                tone: row.stage === "open" ? Theme.dim : Theme.ink
            }

            Words {
                id: post

                x: 28
                y: Math.round(12 + capital * size / 2 - baselineOffset)
                size: checked.sizes.small
                bold: true
                text: row.who
            }

            Words {
                id: said

                x: row.stage === "wrong" ? post.x : post.x + post.implicitWidth + Theme.s2
                y: Math.round((row.stage === "wrong" ? 38 : 12) + capital * size / 2 - baselineOffset)
                width: row.width - x
                wrapMode: Text.WordWrap
                size: checked.sizes.small
                bold: row.stage === "wrong"
                text: row.stage === "open" ? "not yet" : row.words
                color: row.stage === "wrong" ? Theme.ink : Theme.dim
            }
        }
    }
}
