pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The code, typed: nine boxes in threes. The ninth checks the others, so a slip shows before anything is sent.
Item {
    id: page

    required property SetupView setup
    required property bool wide

    readonly property SetupSizes sizes: Theme.setup
    readonly property real boxHigh: 128
    readonly property real keyWide: page.wide ? 140 : Math.round((page.width - 2 * page.sizes.gap) / 3)
    readonly property real keysWide: 3 * page.keyWide + 2 * page.sizes.gap
    readonly property real keysTop: page.wide ? 0 : page.height - 4 * page.keyHigh - 3 * page.sizes.gap
    readonly property real keyHigh: page.wide ? Math.round((page.height - 3 * page.sizes.gap) / 4) : 130
    readonly property real side: page.wide ? page.width - page.keysWide - page.sizes.margin : page.width

    function take(key: int): bool {
        if (key === Qt.Key_Backspace)
            page.setup.typed.rub();
        else if (key >= Qt.Key_0 && key <= Qt.Key_9)
            page.setup.typed.type(key - Qt.Key_0);
        else
            return false;
        return true;
    }

    Words {
        bl: 40
        size: page.sizes.title
        bold: true
        text: page.setup.joinTitle
    }

    Words {
        bl: 84
        size: page.sizes.body
        text: page.setup.whereText
        color: Theme.dim
    }

    Words {
        bl: 178
        size: page.sizes.strong
        text: "Type the code on the other screen"
    }

    Item {
        y: 196
        height: page.boxHigh
        Accessible.role: Accessible.StaticText
        Accessible.name: "Code, " + page.setup.typed.count + " of 9 digits"

        Repeater {
            model: 9

            SetupDigit {
                required property int index

                x: index * page.sizes.typedPitch + Math.floor(index / 3) * Theme.s5
                width: page.sizes.typedPitch - 10
                height: page.boxHigh
                digit: page.setup.typed.digits.charAt(index)
                live: index === page.setup.typed.count && !page.setup.typed.busy
                slip: page.setup.typed.slip
            }
        }
    }

    Words {
        objectName: "setup.code.sentence"
        y: 196 + page.boxHigh + Theme.s5
        width: page.side
        wrapMode: Text.WordWrap
        size: page.sizes.body
        bold: page.setup.typed.slip
        color: page.setup.typed.slip ? Theme.ink : Theme.dim
        text: page.setup.typed.sentence
    }

    Pad {
        objectName: "setup.code.back"
        y: page.height - height
        width: page.wide ? 360 : page.keyWide
        height: page.wide ? 96 : page.keyHigh
        sizes: page.sizes
        kind: Pad.Outlined
        path: Marks.leftward
        text: page.wide ? "Other court or job" : "Back"
        onActed: page.setup.back()
    }

    SetupKeys {
        x: page.width - width
        y: page.keysTop
        keyWide: page.keyWide
        keyHigh: page.keyHigh
        onDigit: digit => page.setup.typed.type(digit)
        onRub: page.setup.typed.rub()
    }
}
