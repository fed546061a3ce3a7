pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Set point or match point: the whole face answers. The score on it changes in place.
Press {
    id: page

    required property CourtView court
    required property WristShape shape

    readonly property NoticeLook notice: page.court.top
    readonly property WristSizes sizes: Theme.wrist
    readonly property bool round: page.shape.round
    readonly property string what: page.notice.kind === "match_point" ? "Match point" : "Set point"
    readonly property string whose: page.notice.team !== "" ? page.notice.team : "A, B"
    readonly property int side: 20

    objectName: "wrist.setpoint.answer"
    text: "Tap anywhere"
    Accessible.name: "Tap anywhere. " + page.notice.spoken
    arm: true
    armKey: page.notice.noticeId
    onActed: page.court.tell.answer(page.notice.noticeId)

    background: Item {
        PlateFrame {
            anchors.fill: parent
            visible: !page.round
            notice: page.notice
            thirdHigh: page.sizes.thirdHigh
        }

        RoundSlice {
            anchors.fill: parent
            visible: page.round
            radius: page.shape.radius
            fill: Theme.panel
            edge: Theme.ink
            edgeWidth: Theme.outline
        }

        RoundSlice {
            visible: page.round
            width: page.width
            height: page.sizes.roundCap
            radius: page.shape.radius
            fill: Theme.soon
            edge: Theme.ink
            edgeWidth: Theme.outline
        }
    }

    contentItem: Item {
        UrgencyMark {
            x: page.round ? Math.round((parent.width - width) / 2) : page.side
            y: (page.round ? 74 : 55) - height / 2
            width: implicitWidth
            level: page.notice.level
            ending: page.notice.state
            markSize: page.round ? page.sizes.body : page.sizes.due
            size: page.round ? page.sizes.body : page.sizes.strong
            tone: Theme.soonInk
        }

        ClockText {
            visible: !page.round
            x: parent.width - page.side - width
            mid: 57
            size: page.sizes.small
            text: page.notice.ageText
            color: Theme.soonInk
        }

        WristWords {
            shape: page.shape
            footing: page.round ? 172 : 190
            size: page.round ? page.sizes.strong : page.what.length > 9 ? page.sizes.longTitle : page.sizes.title
            bold: true
            text: page.what
            x: page.round ? Math.round((parent.width - width) / 2) : page.side
        }

        WristWords {
            id: whose

            shape: page.shape
            end: "left"
            footing: page.round ? 262 : 310
            size: page.notice.team !== "" ? page.sizes.team : page.sizes.strong
            bold: true
            text: page.whose
            x: page.round ? 72 : page.side
        }

        Row {
            x: page.round ? parent.width - 72 - width : parent.width - page.side - width
            y: Math.round(whose.footing - page.sizes.title * 0.97)
            spacing: Theme.s4

            Repeater {
                model: [page.court.leftTeam, page.court.rightTeam]

                Row {
                    id: points

                    required property TeamLook modelData
                    required property int index

                    spacing: Theme.s4

                    Rectangle {
                        visible: points.index === 1
                        y: Math.round(page.sizes.title * 0.24)
                        width: Theme.heavy
                        height: Math.round(page.sizes.title * 0.73)
                        color: Theme.ink
                    }

                    Words {
                        size: page.sizes.title
                        bold: page.whose.includes(points.modelData.letter)
                        text: String(points.modelData.points)
                    }
                }
            }
        }

        Rectangle {
            x: page.round ? 40 : page.side
            y: page.round ? 292 : 344
            width: parent.width - 2 * x
            height: Theme.hairline
            color: Theme.hair
        }

        WristPadLabel {
            shape: page.shape
            mid: page.round ? 334 : 411
            text: page.text
            path: Marks.answered
        }
    }
}
