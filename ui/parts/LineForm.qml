pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The left part of the number line when it is not idle: mark or band, verb, boxes, what the rules say, a hint.
Row {
    id: form

    required property LineLook look
    required property string markPath

    readonly property TableSizes sizes: Theme.table
    readonly property real middle: form.height / 2

    spacing: Theme.s4

    TeamBand {
        visible: form.look.lane !== ""
        y: Math.round(form.middle - height / 2)
        width: Theme.bandWidth
        height: 36
        letter: form.look.lane
    }

    Icon {
        visible: form.markPath !== ""
        y: Math.round(form.middle - height / 2)
        path: form.markPath
        size: form.sizes.verb
    }

    Words {
        objectName: "table.line.verb"
        mid: form.middle
        size: form.sizes.verb
        bold: true
        text: form.look.verb
    }

    Words {
        visible: text !== ""
        mid: form.middle
        size: form.sizes.verb
        bold: true
        text: form.look.value
    }

    Repeater {
        model: form.look.slots

        SlotBox {
            middle: form.middle
        }
    }

    Icon {
        visible: form.look.said !== ""
        y: Math.round(form.middle - height / 2)
        path: form.look.said === "no" ? Marks.cross : Marks.answered
        size: form.sizes.verb
    }

    Words {
        visible: form.look.said !== ""
        mid: form.middle
        size: form.sizes.verb
        bold: true
        text: form.look.said === "no" ? "no" : "legal"
    }

    Words {
        visible: text !== ""
        mid: form.middle
        size: form.sizes.body
        text: form.look.hint
        color: Theme.dim
    }
}
