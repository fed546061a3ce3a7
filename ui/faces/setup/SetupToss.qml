pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The toss: who is on the table's left, who serves. The court shows it as it will be; nothing is written before "on".
Item {
    id: page

    required property CourtView court
    required property bool wide

    property string serves: ""
    property string leftTeam: ""

    readonly property bool told: page.serves !== "" && page.leftTeam !== ""
    readonly property string first: page.leftTeam === "B" ? "B" : "A"
    readonly property SetupSizes sizes: Theme.setup
    readonly property real column: page.wide ? 440 : page.width
    readonly property real floorX: page.wide ? page.column + 120 : 96
    readonly property real floorWide: page.width - page.floorX - (page.wide ? 88 : 96)

    function nameOf(letter: string): string {
        return letter === "A" ? page.court.teamA.name : page.court.teamB.name;
    }

    Words {
        bl: 40
        size: page.sizes.title
        bold: true
        text: "The toss"
    }

    SetupPair {
        id: serving

        y: 76
        width: page.column
        title: "Who serves first?"
        name: "setup.toss.serves"
        court: page.court
        chosen: page.serves
        onPicked: letter => page.serves = letter
    }

    SetupPair {
        id: standing

        y: serving.y + serving.height + page.sizes.margin
        width: page.column
        title: "Left, as the table sees it"
        name: "setup.toss.left"
        court: page.court
        chosen: page.leftTeam
        onPicked: letter => page.leftTeam = letter
    }

    Words {
        id: note

        y: page.wide ? 0 : standing.y + standing.height + 2 * page.sizes.margin
        x: page.wide ? page.column + 2 * page.sizes.margin : 0
        width: page.width - x
        wrapMode: Text.WordWrap
        size: page.sizes.body
        color: Theme.dim
        text: page.told ? page.nameOf(page.serves) + " serve first. " + page.nameOf(page.first) + " stand left, seen from the table." : "As the table sees it, with the net between the teams."
    }

    Item {
        id: floor

        x: page.floorX
        y: note.y + note.height + page.sizes.margin + Theme.s3
        width: page.floorWide
        height: Math.round(page.floorWide / 2)

        CourtLines {
            width: parent.width
            height: parent.height
            overhang: Theme.s3
        }

        Repeater {
            model: page.first === "A" ? ["A", "B"] : ["B", "A"]

            Item {
                id: half

                required property string modelData
                required property int index

                readonly property bool atLeft: half.index === 0

                visible: page.leftTeam !== ""

                TeamBand {
                    x: half.atLeft ? -88 : floor.width + 88 - width
                    width: Theme.bandWidth
                    height: floor.height
                    letter: half.modelData
                }

                Words {
                    x: Math.round(floor.width * (half.atLeft ? 0.25 : 0.75) - width / 2)
                    mid: floor.height / 2
                    size: page.sizes.number
                    bold: true
                    text: half.modelData
                }

                Rectangle {
                    visible: page.serves === half.modelData
                    x: half.atLeft ? -24 - width : floor.width + 24
                    y: Math.round(floor.height * (half.atLeft ? 0.84 : 0.16) - height / 2)
                    width: 40
                    height: 40
                    radius: 20
                    color: Theme.ink

                    Icon {
                        anchors.centerIn: parent
                        path: Marks.serve
                        size: 24
                        tone: Theme.ground
                    }
                }
            }
        }
    }
}
