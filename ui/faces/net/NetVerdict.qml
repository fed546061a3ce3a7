pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Legal or not, which one of the set it would be, and why not.
Item {
    id: verdict

    required property ExchangeLook pair
    property bool quiet: false

    readonly property NetSizes sizes: Theme.net
    readonly property color tone: verdict.quiet ? Theme.dim : Theme.ink

    Rectangle {
        width: verdict.width
        height: Theme.hairline
        color: Theme.hair
    }

    Icon {
        y: 14
        path: verdict.pair.legal ? Marks.answered : Marks.cross
        size: 36
        tone: verdict.tone
    }

    Words {
        x: 48
        mid: 32
        size: verdict.sizes.strong
        bold: true
        text: verdict.pair.legal ? "Legal" : "Not legal"
        color: verdict.tone
    }

    Words {
        x: verdict.width - width
        mid: 32
        visible: verdict.pair.legal
        size: verdict.sizes.body
        bold: !verdict.quiet
        text: verdict.pair.countText
        color: verdict.tone
    }

    Words {
        y: 64
        width: verdict.width
        wrapMode: Text.WordWrap
        size: verdict.sizes.body
        text: verdict.pair.legal ? verdict.pair.leftText : verdict.pair.why
        color: verdict.pair.legal || verdict.quiet ? Theme.dim : Theme.ink
    }
}
