pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// Pencil strokes: used ones 18 px tall, those left 6 px. The count in figures stands beside them.
Row {
    id: tally

    required property int used
    required property int allowed
    property int high: 18

    spacing: Theme.s3
    height: tally.high
    Accessible.ignored: true

    Repeater {
        model: tally.allowed

        Rectangle {
            required property int index

            y: tally.high - height
            width: Theme.frame
            height: index < tally.used ? tally.high : tally.high / 3
            color: index < tally.used ? Theme.ink : Theme.line
        }
    }
}
