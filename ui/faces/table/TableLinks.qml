pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A post is out of reach: what is safe, who writes, who is linked, and what to do. Quiet: link trouble has no hue.
Item {
    id: links

    required property CourtView view

    readonly property TableSizes sizes: Theme.table

    Words {
        bl: 24
        size: links.sizes.strong
        bold: true
        text: links.view.leftTeam.letter === "A" || links.view.leftTeam.letter === "B" ? links.view.teamA.points + ":" + links.view.teamB.points + " " + (links.view.savedText === "saved" ? "saved on all" : links.view.savedText.startsWith("on") ? "saved here, " + links.view.savedText : links.view.savedText) : ""
    }

    Words {
        x: links.width - width
        bl: 24
        size: links.sizes.body
        text: links.view.writer.alone ? "taken without the others" : links.view.writer.word !== "" ? links.view.writer.word + " writes" : "nobody writes"
        color: Theme.dim
    }

    Rectangle {
        y: 40
        width: links.width
        height: Theme.hairline
        color: Theme.hair
    }

    Column {
        y: 41
        width: links.width

        Repeater {
            model: links.view.links

            Item {
                id: row

                required property string word
                required property string reach
                required property string silentText

                readonly property bool lost: row.reach === "lost"
                readonly property bool here: row.reach === "linked"

                visible: row.reach !== "here" && row.reach !== "unfilled"
                width: links.width
                height: 36
                Accessible.role: Accessible.ListItem
                Accessible.name: row.word + (row.here ? " linked" : " out of reach " + row.silentText)

                Icon {
                    y: 8
                    path: row.here ? Marks.linked : Marks.unlinked
                    size: 20
                    tone: row.lost ? Theme.ink : Theme.dim
                }

                Words {
                    x: 38
                    mid: 18
                    size: links.sizes.body
                    bold: row.lost
                    text: row.word
                }

                Words {
                    x: 330
                    mid: 18
                    size: links.sizes.body
                    bold: row.lost
                    text: row.here ? "linked" : "out of reach " + row.silentText
                    color: row.lost ? Theme.ink : Theme.dim
                }

                Rectangle {
                    y: row.height - height
                    width: row.width
                    height: Theme.hairline
                    color: Theme.hair
                }
            }
        }
    }

    Words {
        bl: 200
        size: links.sizes.body
        text: "Out of reach: use whistle, sign and voice."
    }

    Words {
        bl: 226
        size: links.sizes.small
        text: links.view.writer.askingText !== "" ? links.view.writer.askingText : links.view.writer.here ? "Go on writing. It goes over by itself when the link is back." : "What you ask for waits until it can be written."
        color: Theme.dim
    }
}
