pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Jobs are chosen where they stand: R1 above the net, R2 below it, scorer and assistant at the table.
Item {
    id: page

    required property SetupView setup
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real courtX: page.wide ? 440 : 0
    readonly property real courtWide: page.width - page.courtX
    readonly property real first: page.wide ? 0 : 210
    readonly property real padHigh: 84
    readonly property real padWide: 250
    readonly property real floorWide: page.wide ? Math.min(440, (page.height - 3 * page.padHigh - 108) * 2) : 560
    readonly property real middle: page.courtX + page.courtWide / 2

    Column {
        width: page.wide ? page.courtX - 2 * page.sizes.margin : page.width
        spacing: Theme.s4

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.title
            bold: true
            text: page.setup.joins ? "Which job is yours?" : page.setup.courtTitle + ". Your job?"
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.body
            color: Theme.dim
            text: page.setup.joins ? "The code settles it: the other device makes a code for one job." : "Who opens the court writes the score sheet. At the table that is the scorer."
        }
    }

    SetupJobPad {
        objectName: "setup.job.r1"
        setup: page.setup
        post: "R1"
        text: "R1"
        place: "on the stand"
        x: Math.round(page.middle - width / 2)
        y: page.first
        width: page.padWide
        height: page.padHigh
    }

    SetupJobPad {
        objectName: "setup.job.site"
        setup: page.setup
        post: "site"
        text: "Supervisor"
        place: page.setup.joins ? "in the hall" : "joins later"
        enabled: page.setup.joins
        x: page.wide ? page.width - width : page.width - width
        y: page.wide ? page.first : floor.y + floor.height + 2 * page.padHigh + 84
        width: page.wide ? 190 : page.padWide
        height: page.padHigh
    }

    Item {
        id: floor

        x: Math.round(page.middle - page.floorWide / 2)
        y: page.first + page.padHigh + 36
        width: page.floorWide
        height: Math.round(page.floorWide / 2)

        CourtLines {
            width: parent.width
            height: parent.height
            overhang: Theme.s3
        }

        Repeater {
            model: ["A", "B"]

            Item {
                id: half

                required property string modelData
                required property int index

                TeamBand {
                    x: half.index === 0 ? -72 : floor.width + 72 - width
                    width: Theme.bandWidth
                    height: floor.height
                    letter: half.modelData
                }

                Words {
                    x: Math.round(floor.width * (half.index === 0 ? 0.17 : 0.83) - width / 2)
                    mid: floor.height / 2
                    size: page.sizes.number
                    bold: true
                    text: half.modelData
                    color: Theme.off
                }
            }
        }
    }

    SetupJobPad {
        objectName: "setup.job.r2"
        setup: page.setup
        post: "R2"
        text: "R2"
        place: "at the net"
        x: Math.round(page.middle - width / 2)
        y: floor.y + floor.height + 36
        width: page.padWide
        height: page.padHigh
    }

    SetupJobPad {
        objectName: "setup.job.scorer"
        setup: page.setup
        post: "scorer"
        text: "Scorer"
        place: "at the table"
        x: Math.round(page.middle - width - page.sizes.gap / 2)
        y: floor.y + floor.height + 36 + page.padHigh + page.sizes.gap
        width: page.padWide
        height: page.padHigh
    }

    SetupJobPad {
        objectName: "setup.job.assistant"
        setup: page.setup
        post: "assistant"
        text: "Assistant scorer"
        place: "at the table"
        x: Math.round(page.middle + page.sizes.gap / 2)
        y: floor.y + floor.height + 36 + page.padHigh + page.sizes.gap
        width: page.padWide
        height: page.padHigh
    }
}
