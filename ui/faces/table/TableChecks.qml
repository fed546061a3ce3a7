pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who has checked the positions before a set, each in words.
Item {
    id: checks

    required property CourtView view

    readonly property TableSizes sizes: Theme.table
    readonly property int count: rows.count

    Repeater {
        id: rows

        model: checks.view.duties.checks

        Item {
            id: check

            required property string who
            required property string stage
            required property string words
            required property int index

            y: check.index * 38
            width: checks.width
            height: 30
            Accessible.role: Accessible.StaticText
            Accessible.name: check.who + " " + check.words

            Icon {
                y: 4
                path: check.stage === "done" ? Marks.answered : check.stage === "wrong" ? Marks.flag : Marks.wait
                size: 22
                tone: check.stage === "open" ? Theme.dim : Theme.ink
            }

            Words {
                x: 38
                mid: 15
                size: checks.sizes.body
                bold: true
                text: check.who
            }

            Words {
                objectName: "table.check." + check.who
                x: 128
                mid: check.stage === "wrong" && lineCount > 1 ? 6 : 15
                width: check.width - x
                wrapMode: Text.WordWrap
                size: check.stage === "wrong" ? checks.sizes.small : checks.sizes.body
                bold: check.stage === "wrong"
                text: check.words
                color: check.stage === "wrong" ? Theme.ink : Theme.dim
            }
        }
    }
}
