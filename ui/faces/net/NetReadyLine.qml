pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The ready chain in a few lines, under a court that stays: who is not ready, what happened, for how long, and the
// stops with their marks. Clear is a tick. Standing (`narrow`) the stops have a line of their own.
Item {
    id: line

    required property ReadyLook ready
    property bool narrow: false

    readonly property NetSizes sizes: Theme.net
    readonly property bool clear: line.ready.state === "clear"
    readonly property real first: line.narrow ? 12 : line.height * 0.28
    readonly property real second: line.narrow ? 42 : line.height * 0.72

    Accessible.role: Accessible.Grouping
    Accessible.name: line.ready.sentence + ". " + line.ready.reason

    Icon {
        id: tick

        visible: line.clear
        y: Math.round(line.first - height / 2)
        path: Marks.answered
        size: 28
    }

    Words {
        x: line.clear ? tick.width + Theme.s3 : 0
        mid: line.first
        size: line.sizes.body
        bold: true
        text: line.ready.sentence
    }

    Words {
        mid: line.second
        size: line.sizes.small
        text: line.ready.reason
        color: Theme.dim
    }

    ClockText {
        visible: !line.clear
        x: line.width - width
        mid: line.narrow ? line.first : line.second
        size: line.sizes.body
        text: line.ready.secondsText
    }

    Row {
        x: line.narrow ? 0 : line.width - width
        y: Math.round((line.narrow ? line.height - 14 : line.first) - height / 2)
        spacing: Theme.s5

        Repeater {
            model: line.ready.stops

            Item {
                id: stop

                required property string word
                required property string stage
                required property string told

                readonly property bool done: stop.stage === "done"

                implicitWidth: mark.width + Theme.s2 + post.implicitWidth
                implicitHeight: 24
                Accessible.role: Accessible.StaticText
                Accessible.name: stop.word + (stop.told !== "" ? " " + stop.told : stop.done ? " done" : " waits")

                Icon {
                    id: mark

                    path: stop.done ? Marks.answered : Marks.wait
                    size: 24
                    tone: stop.done ? Theme.ink : Theme.dim
                }

                Words {
                    id: post

                    x: mark.width + Theme.s2
                    mid: 12
                    size: line.sizes.small
                    bold: !stop.done && stop.word !== "R1"
                    text: stop.word
                    color: post.bold ? Theme.ink : Theme.dim
                }
            }
        }
    }
}
