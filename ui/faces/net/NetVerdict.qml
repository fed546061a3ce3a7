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

    Icon {
        y: 10
        path: verdict.pair.legal ? Marks.answered : Marks.cross
        size: 36
        tone: verdict.tone
    }

    Words {
        x: 48
        mid: 28
        size: verdict.sizes.strong
        bold: true
        text: verdict.pair.legal ? "Legal" : "Not legal"
        color: verdict.tone
    }

    Words {
        x: verdict.width - width
        mid: 28
        visible: verdict.pair.legal
        size: verdict.sizes.body
        bold: !verdict.quiet
        text: verdict.pair.countText
        color: verdict.tone
    }

    Words {
        y: 60
        width: verdict.width
        wrapMode: Text.WordWrap
        size: verdict.sizes.body
        text: verdict.pair.legal ? verdict.pair.leftText : verdict.pair.why
        color: verdict.pair.legal || verdict.quiet ? Theme.dim : Theme.ink
    }
}
