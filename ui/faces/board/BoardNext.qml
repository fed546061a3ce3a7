pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The matches that come next: when, where, who; as many as there is room for.
Item {
    id: next

    required property BoardView board

    readonly property BoardSizes sizes: Theme.board
    readonly property int count: rows.count

    Words {
        bl: 40
        size: next.sizes.title
        bold: true
        text: "Next"
    }

    Rectangle {
        y: 58
        width: next.width
        height: Theme.outline
        color: Theme.hair
    }

    Column {
        y: 70
        width: next.width

        Repeater {
            id: rows

            model: next.board.next

            Item {
                id: row

                required property string due
                required property int court
                required property string teams

                width: next.width
                height: teams.height + Theme.s3
                visible: 70 + y + height <= next.height
                Accessible.role: Accessible.StaticText
                Accessible.name: row.due + ", court " + row.court + ", " + row.teams

                Words {
                    size: next.sizes.small
                    bold: true
                    text: row.due
                }

                Words {
                    x: 124
                    size: next.sizes.small
                    bold: true
                    text: String(row.court)
                }

                Words {
                    id: teams

                    x: 188
                    width: next.width - 188
                    wrapMode: Text.WordWrap
                    size: next.sizes.small
                    text: row.teams
                }
            }
        }
    }
}
