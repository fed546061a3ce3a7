pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A post on the rail: linked mark and word, and whether it writes; silent for 5 s the unlinked mark; for 10 s name and
// age in bold ink.
Item {
    id: post

    required property string word
    required property string reach
    required property string silentText
    required property bool writes
    required property int size
    property bool brief: false

    readonly property bool here: post.reach === "linked" || post.reach === "here"
    readonly property bool lost: post.reach === "lost"
    readonly property string named: post.word + (post.writes && !post.brief ? " writes" : "")

    implicitWidth: label.x + label.implicitWidth
    implicitHeight: post.size
    visible: post.reach !== "here" && post.reach !== "unfilled"
    Accessible.role: Accessible.StaticText
    Accessible.name: post.named + (post.here ? " linked" : " out of reach " + post.silentText)

    Icon {
        y: Math.round((post.height - height) / 2)
        path: post.here ? Marks.linked : Marks.unlinked
        size: post.size
        tone: post.here ? Theme.dim : Theme.ink
        weight: post.lost ? 3 : 2
    }

    Words {
        id: label

        x: post.size + Theme.s2
        mid: post.height / 2
        size: post.size
        bold: post.lost
        text: post.lost && post.silentText !== "" ? post.named + " " + post.silentText : post.named
        color: post.lost ? Theme.ink : Theme.dim
    }
}
