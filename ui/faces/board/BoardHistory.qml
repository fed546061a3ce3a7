pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The match history of the open court, newest first, a lane a team; as many lines as there is room for.
Item {
    id: history

    required property CourtView court

    readonly property BoardSizes sizes: Theme.board
    readonly property int laneA: history.width - 2 * Theme.shirt - Theme.s4
    readonly property int laneB: history.width - Theme.shirt

    Words {
        bl: 64
        size: history.sizes.title
        bold: true
        text: "Match history"
    }

    Repeater {
        model: [["A", history.laneA], ["B", history.laneB]]

        Words {
            required property list<string> modelData

            x: Math.round(Number(modelData[1]) + (Theme.shirt - width) / 2)
            bl: 64
            size: history.sizes.small
            bold: true
            text: modelData[0]
        }
    }

    Words {
        visible: lines.count === 0
        bl: 128
        size: history.sizes.small
        text: "Nothing is written yet."
        color: Theme.dim
    }

    Column {
        y: 88
        width: history.width

        Repeater {
            id: lines

            model: history.court.history

            Item {
                id: line

                required property string score
                required property string words
                required property string lane
                required property bool struck
                required property int index

                readonly property color tone: line.struck ? Theme.off : line.index === 0 ? Theme.ink : Theme.dim

                width: history.width
                height: Math.max(60, said.height + 21)
                visible: 88 + y + height <= history.height - 8
                Accessible.role: Accessible.ListItem
                Accessible.name: line.score + ", " + line.words + (line.struck ? ", crossed out" : "")

                Rectangle {
                    width: parent.width
                    height: Theme.outline
                    color: Theme.hair
                }

                Words {
                    bl: 41
                    size: history.sizes.small
                    bold: true
                    text: line.score
                    color: line.tone
                    font.strikeout: line.struck
                }

                Words {
                    id: said

                    x: 116
                    bl: 41
                    width: history.laneA - x - Theme.s3
                    wrapMode: Text.WordWrap
                    size: history.sizes.small
                    bold: line.index === 0
                    text: line.words.replace(/ (\S{1,3})$/, "\u00a0$1")
                    color: line.tone
                    font.strikeout: line.struck
                }

                TeamBand {
                    visible: line.lane !== ""
                    x: line.lane === "B" ? history.laneB : history.laneA
                    y: 20
                    width: Theme.shirt
                    height: Theme.shirt
                    letter: line.lane
                    outlined: true
                }
            }
        }
    }
}
