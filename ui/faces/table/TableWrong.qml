pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A wrong server at the table: the plate with who has it, and beside it what may have happened, the table's own errors
// first, each with the score and the server it leads to. What the rules say is ink-filled.
Item {
    id: wrong

    required property CourtView view

    readonly property TableSizes sizes: Theme.table
    readonly property DeskPanel panel: wrong.view.desk.panel
    readonly property ProposalLook proposal: wrong.view.proposal
    readonly property bool suggested: ways.count > 0

    Repeater {
        model: wrong.view.notices

        TableWrongPlate {
            id: plate

            required property string noticeId

            objectName: "table.wrong.plate"
            visible: plate.noticeId === wrong.panel.wrongId
            width: 400
            height: wrong.height
            sizes: wrong.sizes
            tell: wrong.view.tell
            shownHere: wrong.visible

            FocusRing {
                visible: wrong.panel.region === "notices" && wrong.panel.focusId === plate.noticeId
                inner: 0
            }
        }
    }

    Item {
        x: 432
        width: wrong.width - x
        height: wrong.height

        Words {
            id: heading

            bl: 28
            size: wrong.sizes.strong
            bold: true
            text: wrong.suggested ? "What happened?" : "Wrong server"
        }

        Words {
            x: heading.width + Theme.s3
            bl: 28
            size: wrong.sizes.body
            text: "R1 decides"
            color: Theme.dim
        }

        Words {
            visible: wrong.suggested
            x: parent.width - width
            bl: 28
            size: wrong.sizes.small
            text: "leads to"
            color: Theme.dim
        }

        TableHistory {
            visible: !wrong.suggested
            y: 46
            width: parent.width
            height: parent.height - y
            view: wrong.view
        }

        Repeater {
            id: ways

            model: wrong.proposal.explanations

            TableWay {
                required property int index

                objectName: "table.wrong.way" + index
                y: 40 + index * height
                width: parent.width
                height: Math.min(51, Math.floor((wrong.height - 40) / ways.count))
                place: index + 1
                signalled: wrong.panel.wayId
            }
        }
    }
}
