pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The middle of the table: a bench at each side, the court between them, and under the court what matters now.
Item {
    id: body

    required property CourtView view
    readonly property Item leftPlace: leftBench
    readonly property Item rightPlace: rightBench
    readonly property Item middlePlace: region

    readonly property TableSizes sizes: Theme.table
    readonly property DeskPanel panel: body.view.desk.panel
    readonly property bool wrong: body.panel.kind === "wrong"

    TableBench {
        id: leftBench

        objectName: "table.bench.left"
        x: body.sizes.margin
        y: Theme.s5
        width: body.sizes.bench
        height: body.wrong ? 244 : body.height - 2 * Theme.s5
        view: body.view
        team: body.view.leftTeam
        atLeft: true
        brief: body.wrong
        focused: body.panel.region === "left"
    }

    TableBench {
        id: rightBench

        objectName: "table.bench.right"
        x: body.width - body.sizes.margin - width
        y: Theme.s5
        width: body.sizes.bench
        height: leftBench.height
        view: body.view
        team: body.view.rightTeam
        atLeft: false
        brief: body.wrong
        focused: body.panel.region === "right"
    }

    Court {
        objectName: "table.court"
        x: Math.round((body.width - width) / 2)
        y: 34
        width: body.sizes.court
        sizes: body.sizes
        view: body.view
        about: body.view.aboutNotice
        meantTeam: body.panel.meantTeam
        meantNumber: body.panel.meantNumber
    }

    TableMiddle {
        id: region

        x: body.wrong ? body.sizes.margin : Math.round((body.width - width) / 2)
        y: body.wrong ? 300 : 318
        width: body.wrong ? body.width - 2 * body.sizes.margin : body.sizes.court
        height: body.height - y - Theme.s3
        view: body.view
    }
}
