pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A moment in one glance: a mark or a running clock, a word, a line, and the server where there is one. Tell below.
Item {
    id: page

    required property CourtView court
    required property WristShape shape
    required property string title
    property string path: ""
    property string figure: ""
    property string line: ""
    property string second: ""
    property string corner: page.court.glance.scoreText
    property TeamLook server: null
    property int titleSize: Theme.wrist.title
    property bool tells: true

    readonly property WristSizes sizes: Theme.wrist
    readonly property bool round: page.shape.round
    readonly property bool timed: page.figure !== ""
    readonly property int lift: page.round ? 24 : 0

    signal tellAsked

    WristRail {
        court: page.court
        shape: page.shape
        word: page.corner
    }

    Icon {
        visible: page.path !== "" && !page.timed
        x: Math.round((page.width - width) / 2)
        y: page.round ? 38 : 66
        path: page.path
        size: page.round ? 72 : 84
    }

    WristWords {
        objectName: "wrist.moment.figure"
        visible: page.timed
        shape: page.shape
        end: "middle"
        footing: page.round ? 200 : 226
        size: page.sizes.figure
        bold: true
        text: page.figure
    }

    WristWords {
        objectName: "wrist.moment.title"
        shape: page.shape
        end: "middle"
        footing: page.timed ? (page.round ? 104 : 122) : 200 - page.lift
        size: page.timed ? page.sizes.strong : page.titleSize
        bold: true
        text: page.title
    }

    Words {
        id: line

        readonly property int first: page.timed ? (page.round ? 244 : 268) : 244 - page.lift
        readonly property real side: page.shape.inset(line.first - 30, line.first + 60)

        visible: page.line !== ""
        x: line.side
        y: line.first - 30
        width: page.width - 2 * line.side
        horizontalAlignment: Text.AlignHCenter
        wrapMode: Text.WordWrap
        size: page.sizes.small
        text: page.line.length > 22 ? page.line.replace(/ (\S{1,3})$/, "\u00a0$1") : page.line
        color: Theme.dim
    }

    Words {
        visible: page.second !== ""
        x: Math.round((page.width - width) / 2)
        bl: line.first + (page.line !== "" ? line.lineCount * 38 + Theme.s3 : 0)
        size: page.sizes.body
        bold: true
        text: page.second
    }

    Row {
        visible: page.server !== null
        x: Math.round((page.width - width) / 2)
        y: 271 - page.lift
        spacing: Theme.s4

        ServerDisc {
            across: page.sizes.rowDisc
            size: page.sizes.body
            number: page.server !== null ? String(page.server.server) : ""
        }

        Words {
            y: Math.round((page.sizes.rowDisc - height) / 2)
            size: page.sizes.body
            bold: true
            text: page.server !== null ? page.server.letter + " serves" : ""
        }
    }

    WristAlone {
        visible: page.tells && page.court.glance.alone
        shape: page.shape
        glance: page.court.glance
    }

    WristTellPad {
        visible: page.tells && !page.court.glance.alone
        shape: page.shape
        onActed: page.tellAsked()
    }
}
