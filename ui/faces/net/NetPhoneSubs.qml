pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A substitution on the phone: team, who comes in, who goes out; legal or not and why; Done asks the table to write it.
Item {
    id: page

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property int wide: page.width - 2 * page.sizes.margin
    readonly property bool sided: page.desk.side !== ""
    readonly property TeamLook team: page.desk.side === "B" ? page.court.teamB : page.court.teamA
    readonly property ExchangeLook pair: page.desk.exchange(page.team.letter)

    Words {
        visible: !page.sided
        x: page.sizes.margin
        bl: 140
        width: page.wide
        size: page.sizes.title
        bold: true
        text: "Which team?"
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        Pad {
            required property TeamLook modelData
            required property int index

            objectName: "net.subs.team" + modelData.letter
            x: page.sizes.margin + index * (page.wide - width)
            y: 12
            width: Math.floor((page.wide - Theme.s3) / 2)
            height: 64
            sizes: page.sizes
            centred: true
            kind: page.desk.side === modelData.letter ? Pad.Filled : Pad.Raised
            text: "Team " + modelData.letter
            onActed: page.desk.side = modelData.letter
        }
    }

    NetPhoneChooser {
        visible: page.sided
        x: page.sizes.margin
        y: 84
        width: page.wide
        team: page.team
        pair: page.pair
    }

    Item {
        visible: page.sided && page.pair.whole
        x: page.sizes.margin
        y: 456
        width: page.wide
        height: 136

        Icon {
            y: 2
            path: page.pair.legal ? Marks.answered : Marks.cross
            size: 28
        }

        Words {
            x: 36
            mid: 16
            size: page.sizes.body
            bold: true
            text: page.pair.comesIn + " in for " + page.pair.goesOut
        }

        Words {
            y: 38
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.small
            text: page.pair.legal ? "Legal, " + page.pair.countText + ", " + page.pair.leftText : "Not legal. " + page.pair.why
        }
    }

    Pad {
        objectName: "net.page.cancel"
        x: page.sizes.margin
        y: page.height - 16 - height
        width: 128
        height: 76
        sizes: page.sizes
        kind: Pad.Outlined
        inset: Theme.s3
        labelSize: page.sizes.small
        path: Marks.cross
        markSize: 20
        text: "Cancel"
        onActed: {
            page.pair.clear();
            page.desk.shut();
        }
    }

    Pad {
        objectName: "net.subs.done"
        x: page.width - page.sizes.margin - width
        y: page.height - 16 - height
        width: page.wide - 128 - Theme.s3
        height: 76
        sizes: page.sizes
        centred: true
        path: Marks.answered
        text: "Done"
        enabled: page.sided && page.pair.legal
        kind: enabled ? Pad.Filled : Pad.Raised
        onActed: {
            page.desk.first = page.team.letter;
            page.desk.exchanged();
        }
    }
}
