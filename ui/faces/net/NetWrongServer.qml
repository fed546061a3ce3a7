pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Wrong server, the second tap: the number that hit, on the court or on a bench. All are told at once.
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property bool upright

    readonly property NetSizes sizes: Theme.net
    readonly property int contentX: page.upright || page.desk.rightHand ? page.sizes.margin : page.sizes.margin + page.sizes.well + Theme.s5
    readonly property int contentWide: page.width - 2 * page.sizes.margin - (page.upright ? 0 : page.sizes.well + Theme.s5)

    Words {
        x: page.contentX
        bl: page.upright ? 330 : 58
        size: page.sizes.title
        bold: true
        text: "Who hit the service?"
    }

    NetServerDue {
        visible: known
        x: page.desk.rightHand ? page.width - page.sizes.margin - page.sizes.well : page.sizes.margin
        width: page.sizes.well
        court: page.court
    }

    Words {
        visible: !page.upright
        x: page.desk.rightHand ? page.width - page.sizes.margin - page.sizes.well : page.sizes.margin
        y: 292
        width: page.sizes.well
        wrapMode: Text.WordWrap
        size: page.sizes.body
        text: "Your tap tells R1 and the table at once."
        color: Theme.dim
    }

    NetNumbers {
        x: page.contentX
        y: page.upright ? 372 : 104
        width: page.contentWide
        height: page.upright ? 480 : 416
        court: page.court
        sizes: page.sizes
        toScale: !page.upright
        padHigh: page.upright ? 140 : 104
        padWide: page.upright ? 140 : 104
        onChosen: (team, number) => page.desk.wrongServer(team, number)
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        Flow {
            id: bench

            required property TeamLook modelData
            required property int index

            x: page.contentX + bench.index * (page.contentWide - width)
            y: page.upright ? 930 : 588
            width: 6 * 64 + 5 * Theme.s3 - (page.upright ? 64 + Theme.s3 : 0)
            spacing: Theme.s3
            layoutDirection: bench.index === 0 ? Qt.LeftToRight : Qt.RightToLeft

            Repeater {
                model: bench.modelData.benchLine !== "" ? (bench.index === 0 ? bench.modelData.benchLine.split(" ") : bench.modelData.benchLine.split(" ").reverse()) : []

                Pad {
                    required property string modelData

                    objectName: "net.bench." + bench.modelData.letter + "." + modelData
                    width: 64
                    height: 64
                    sizes: page.sizes
                    centred: true
                    kind: Pad.Outlined
                    labelSize: page.sizes.strong
                    text: modelData
                    Accessible.name: modelData + ", Team " + bench.modelData.letter + ", bench"
                    onActed: page.desk.wrongServer(bench.modelData.letter, Number(modelData))
                }
            }
        }
    }

    Words {
        x: page.contentX
        bl: page.upright ? 908 : 570
        size: page.sizes.body
        text: "or from the bench"
        color: Theme.dim
    }

    NetCancel {
        page: page
        desk: page.desk
        upright: page.upright
    }
}
