pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The two steps of every page: back at the left, on at the right; between them (above them on an upright tablet) what
// keeps it from going on.
Item {
    id: foot

    required property SetupView setup
    required property bool tossTold
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property bool canGoBack: foot.setup.page !== "here" && foot.setup.page !== "event"

    signal nextAsked

    function nextWord(): string {
        switch (foot.setup.page) {
        case "court":
            return "Teams";
        case "event":
            return "Done";
        case "teams":
            return "Job";
        case "job":
            return foot.setup.joins ? "Code" : "Open the court";
        case "here":
            return "Toss";
        case "toss":
            return foot.tossTold ? "Write and start" : "Toss later, start";
        default:
            return "Job";
        }
    }

    Pad {
        id: back

        objectName: "setup.foot.back"
        visible: foot.canGoBack
        width: 200
        height: parent.height
        sizes: foot.sizes
        kind: Pad.Outlined
        path: Marks.leftward
        text: "Back"
        onActed: foot.setup.back()
    }

    Words {
        objectName: "setup.foot.problem"
        visible: foot.setup.page !== "join"
        x: foot.wide && foot.canGoBack ? back.width + Theme.s5 : 0
        width: foot.wide ? next.x - x - Theme.s5 : foot.width
        y: foot.wide ? Math.round((foot.height - height) / 2) : -height - Theme.s1
        size: foot.sizes.small
        bold: true
        wrapMode: Text.WordWrap
        text: foot.setup.problem
    }

    Pad {
        id: next

        objectName: "setup.foot.next"
        visible: !foot.setup.code.knocked
        x: parent.width - width
        width: 290
        height: parent.height
        sizes: foot.sizes
        kind: Pad.Filled
        path: Marks.rightward
        text: foot.nextWord()
        onActed: foot.nextAsked()
    }
}
