pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A line of the match history: time, score, what happened, a remark, and the point in its team's lane (A left, B
// right at the row's end). A crossed-out line is struck through and dim.
Press {
    id: row

    required property string entry
    required property string time
    required property string score
    required property string words
    required property string remark
    required property string lane
    required property bool struck
    required property FaceSizes sizes
    property int scoreX: 72
    property int wordsX: 168
    property int laneGap: Theme.s3
    property bool newest: false
    property bool withTime: true

    readonly property color tone: row.struck ? Theme.off : row.newest ? Theme.ink : Theme.dim
    readonly property int lanesX: row.width - 2 * Theme.shirt - row.laneGap

    text: row.score + " " + row.words
    implicitHeight: 36
    Accessible.role: Accessible.ListItem
    Accessible.name: row.score + ", " + row.words + (row.remark !== "" ? ", " + row.remark : "") + (row.struck ? ", crossed out" : "")

    contentItem: Item {
        id: content

        Words {
            visible: row.withTime
            mid: content.height / 2
            size: row.sizes.small
            text: row.time
            color: Theme.dim
        }

        Words {
            x: row.scoreX
            mid: content.height / 2
            size: row.sizes.body
            bold: true
            text: row.score
            color: row.tone
            font.strikeout: row.struck
        }

        Words {
            x: row.wordsX
            width: Math.min(implicitWidth, remark.x - x - (row.remark !== "" ? Theme.s3 : 0))
            elide: Text.ElideRight
            mid: content.height / 2
            size: row.sizes.body
            text: row.words
            color: row.tone
            font.strikeout: row.struck
        }

        Words {
            id: remark

            x: row.lanesX - Theme.s5 - width
            mid: content.height / 2
            size: row.sizes.small
            text: row.remark
            color: Theme.dim
        }

        TeamBand {
            visible: row.lane !== ""
            x: row.lane === "B" ? row.lanesX + Theme.shirt + row.laneGap : row.lanesX
            y: Math.round((content.height - height) / 2)
            width: Theme.shirt
            height: Theme.shirt
            letter: row.lane
            outlined: true
        }
    }

    Rectangle {
        y: row.height - height
        width: row.width
        height: Theme.hairline
        color: Theme.hair
    }
}
