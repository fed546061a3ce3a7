pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A report from the phone: the side by halves, then who.
Item {
    id: page

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property bool sided: page.desk.side !== ""
    readonly property int wide: page.width - 2 * page.sizes.margin
    readonly property TeamLook team: page.desk.side === "B" ? page.court.teamB : page.court.teamA

    Words {
        x: page.sizes.margin
        bl: 60
        size: page.sizes.title
        bold: true
        text: page.sided ? "Side of " + page.desk.side : "Which side?"
    }

    Repeater {
        model: page.sided ? [] : [page.court.leftTeam, page.court.rightTeam]

        Pad {
            required property TeamLook modelData
            required property int index

            objectName: "net.conduct.side" + modelData.letter
            x: page.sizes.margin + index * (page.wide - width)
            y: 96
            width: Math.floor((page.wide - Theme.s3) / 2)
            height: 300
            sizes: page.sizes
            centred: true
            labelSize: page.sizes.strong
            text: "Team " + modelData.letter
            onActed: page.desk.side = modelData.letter
        }
    }

    Repeater {
        model: page.sided ? ["Coach", "Spectator", "Bench"] : []

        Pad {
            required property string modelData
            required property int index

            objectName: "net.conduct." + modelData.toLowerCase()
            x: page.sizes.margin + index * (width + Theme.s2)
            y: 88
            width: Math.floor((page.wide - 2 * Theme.s2) / 3)
            height: 84
            sizes: page.sizes
            centred: true
            labelSize: page.sizes.floor
            text: modelData
            onActed: page.desk.conduct(modelData.toLowerCase(), -1)
        }
    }

    Words {
        visible: page.sided
        x: page.sizes.margin
        bl: 216
        size: page.sizes.small
        text: "or a player, by number"
        color: Theme.dim
    }

    Flow {
        x: page.sizes.margin
        y: 238
        width: page.wide
        spacing: Theme.s3

        Repeater {
            model: page.sided && page.team.playersLine !== "" ? page.team.playersLine.split(" ") : []

            NetNumberPad {
                required property string modelData

                objectName: "net.conduct." + modelData
                number: Number(modelData)
                said: "Team " + page.desk.side
                onActed: page.desk.conduct("player", number)
            }
        }
    }

    NetPhoneCancel {
        desk: page.desk
    }
}
