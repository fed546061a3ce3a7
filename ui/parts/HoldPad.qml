pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A pad for what can't be taken back lightly. Hold 600 ms while its edge fills, then let go inside. Enter, or an
// assistive press, opens the second step in place ("Press again ..."); the next one acts. Never beside an answer pad.
Pad {
    id: pad

    property real filled: 0
    property bool asking: false
    property string plainText: ""

    signal done

    function step() {
        if (pad.asking) {
            pad.asking = false;
            pad.done();
        } else {
            pad.asking = true;
            pad.Accessible.announce("Press again: " + pad.plainText, Accessible.Assertive);
        }
    }

    text: pad.asking ? "Press again: " + pad.plainText : pad.plainText
    kind: Pad.Outlined
    Accessible.description: "Hold to act"
    Accessible.onPressAction: pad.step()
    onActed: {
        const full = pad.filled >= 1;
        pad.filled = 0;
        if (full)
            pad.done();
    }
    onCanceled: pad.filled = 0
    onActiveFocusChanged: pad.asking = false
    Keys.onReturnPressed: pad.step()
    Keys.onEnterPressed: pad.step()
    Keys.onEscapePressed: pad.asking = false

    NumberAnimation on filled {
        running: pad.pressed
        from: 0
        to: 1
        duration: Theme.holding
    }

    Timer {
        interval: 5000
        running: pad.asking
        onTriggered: pad.asking = false
    }

    Rectangle {
        y: parent.height - height
        width: parent.width * pad.filled
        height: Theme.heavy
        color: Theme.ink
    }
}
