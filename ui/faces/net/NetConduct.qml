pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A report of shouting at officials or bench conduct: the side, then who. At the table it says no more than "R1 deals with it".
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property bool upright

    readonly property NetSizes sizes: Theme.net
    readonly property int contentX: page.upright || page.desk.rightHand ? page.sizes.margin : page.sizes.margin + page.sizes.well + Theme.s5
    readonly property int contentWide: page.width - 2 * page.sizes.margin - (page.upright ? 0 : page.sizes.well + Theme.s5)
    readonly property TeamLook team: page.desk.side === "B" ? page.court.teamB : page.court.teamA
    readonly property int lower: page.upright ? 240 : 0
    readonly property bool sided: page.desk.side !== ""

    ScorePair {
        visible: page.upright
        x: page.contentX
        y: 24
        width: page.contentWide
        height: 176
        view: page.court
        sizes: page.sizes
        upright: true
    }

    Words {
        x: page.contentX
        bl: page.upright ? 284 : 58
        size: page.sizes.title
        bold: true
        text: page.sided ? "Side of " + page.desk.side + ". Who?" : "Which side?"
    }

    Words {
        x: page.contentX
        bl: page.upright ? 332 : 100
        size: page.sizes.body
        text: "R1 gets the details. The table reads only: R1 deals with it."
        color: Theme.dim
    }

    Repeater {
        model: page.sided ? [] : [page.court.leftTeam, page.court.rightTeam]

        Pad {
            required property TeamLook modelData
            required property int index

            objectName: "net.conduct.side" + modelData.letter
            x: page.contentX + index * (page.contentWide - width)
            y: page.lower + 140
            width: Math.floor((page.contentWide - Theme.s4) / 2)
            height: page.upright ? 480 : 572
            sizes: page.sizes
            centred: true
            labelSize: page.sizes.title
            text: "Team " + modelData.letter
            detail: modelData.name

            onActed: page.desk.side = modelData.letter

            TeamBand {
                x: parent.index === 0 ? 0 : parent.width - width
                height: parent.height
                letter: parent.modelData.letter
            }
        }
    }

    Repeater {
        model: page.sided ? ["Coach", "Spectator", "Bench"] : []

        Pad {
            required property string modelData
            required property int index

            objectName: "net.conduct." + modelData.toLowerCase()
            x: page.contentX + index * (width + page.sizes.gap)
            y: page.lower + 140
            width: Math.floor((page.contentWide - 2 * page.sizes.gap) / 3)
            height: 120
            sizes: page.sizes
            centred: true
            labelSize: page.sizes.strong
            text: modelData
            onActed: page.desk.conduct(modelData.toLowerCase(), -1)
        }
    }

    Words {
        visible: page.sided
        x: page.contentX
        bl: page.lower + 312
        size: page.sizes.body
        text: "or a player, by number"
        color: Theme.dim
    }

    Flow {
        x: page.contentX
        y: page.lower + 336
        width: page.contentWide
        spacing: page.sizes.gap

        Repeater {
            model: page.sided && page.team.playersLine !== "" ? page.team.playersLine.split(" ") : []

            Pad {
                required property string modelData

                objectName: "net.conduct." + modelData
                width: page.upright ? 113 : 104
                height: 104
                sizes: page.sizes
                centred: true
                labelSize: page.sizes.number
                text: modelData
                Accessible.name: modelData + ", Team " + page.desk.side
                onActed: page.desk.conduct("player", Number(modelData))
            }
        }
    }

    NetCancel {
        page: page
        desk: page.desk
        upright: page.upright
    }
}
