pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The mark and the word of a notice's level or end: diamond NOW, triangle SOON, ring NOTE, tick ANSWERED ...
Item {
    id: urgency

    required property string level
    required property string ending
    required property int markSize
    required property int size
    required property color tone

    readonly property bool live: urgency.ending === "open"
    readonly property string word: urgency.live ? urgency.level.toUpperCase() : urgency.ending === "withdrawn" ? "WITHDRAWN" : urgency.ending === "lapsed" ? "over, not answered" : urgency.ending === "closed" ? "done" : "answered"

    implicitWidth: label.x + label.implicitWidth
    implicitHeight: urgency.markSize

    Icon {
        path: urgency.live ? Marks.ofLevel(urgency.level) : urgency.ending === "withdrawn" ? Marks.cross : urgency.ending === "lapsed" ? Marks.wait : Marks.answered
        size: urgency.markSize
        tone: urgency.live && urgency.level === "note" ? Theme.note : urgency.tone
    }

    Words {
        id: label

        x: urgency.markSize + Theme.s2
        mid: urgency.markSize / 2
        size: urgency.size
        bold: true
        text: urgency.word
        color: urgency.live && urgency.level === "note" ? Theme.note : urgency.tone
    }
}
