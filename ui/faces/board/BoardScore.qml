pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The left column of an open court: both scores, the court as it stands, who is linked.
Item {
    id: column

    required property CourtView court
    required property bool linked

    readonly property BoardSizes sizes: Theme.board

    Repeater {
        model: [column.court.teamA, column.court.teamB]

        Item {
            id: team

            required property TeamLook modelData
            required property int index

            readonly property int line: 108 + team.index * 112

            Words {
                id: letter

                bl: team.line - 16
                size: column.sizes.strong
                bold: true
                text: team.modelData.letter
            }

            Words {
                x: 50
                bl: team.line - 16
                size: column.sizes.strong
                text: team.modelData.shortName
                color: column.linked ? Theme.ink : Theme.off
            }

            Words {
                x: 404 - width
                bl: team.line - 16
                size: column.sizes.small
                text: "sets " + team.modelData.sets
                color: Theme.dim
            }

            Words {
                objectName: "board.open.points." + team.modelData.letter
                x: column.width - width
                bl: team.line
                size: column.sizes.openFigure
                bold: true
                text: String(team.modelData.points)
                color: column.linked ? Theme.ink : Theme.off
            }
        }
    }

    Court {
        y: 262
        width: column.width
        view: column.court
        sizes: column.sizes
        freeZone: 84
        numberSize: column.sizes.number
        bands: true
        calm: !column.linked
    }

    BoardErase {
        y: column.height - height - Theme.s3
        width: column.width
        court: column.court
    }

    Words {
        bl: 540
        size: column.sizes.title
        bold: true
        text: "Crew"
    }

    Column {
        y: 566
        width: column.width

        Repeater {
            model: column.court.links

            Item {
                id: post

                required property string post
                required property string word
                required property string reach
                required property string silentText

                readonly property bool here: post.reach === "linked"
                readonly property bool lost: post.reach === "lost"

                width: column.width
                height: visible ? 66 : 0
                visible: post.reach !== "here"
                Accessible.role: Accessible.StaticText
                Accessible.name: post.word + ", " + state.text

                Rectangle {
                    width: parent.width
                    height: Theme.outline
                    color: Theme.hair
                }

                Words {
                    mid: 34
                    size: column.sizes.small
                    bold: true
                    text: post.word
                }

                Words {
                    id: state

                    x: 188
                    mid: 34
                    size: column.sizes.small
                    bold: post.lost
                    text: post.here ? "linked" : post.reach === "unfilled" ? "nobody" : post.lost ? "silent " + post.silentText : "silent"
                    color: post.lost ? Theme.ink : Theme.dim
                }

                Icon {
                    x: column.width - width
                    y: 34 - height / 2
                    path: post.here ? Marks.linked : post.reach === "unfilled" ? Marks.wait : Marks.unlinked
                    size: column.sizes.small
                    tone: post.here ? Theme.dim : Theme.ink
                    weight: post.lost ? 3 : 2
                }
            }
        }
    }
}
