pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// One of several records that went apart: whether it counts, its score, its lines and the last of them.
Column {
    id: record

    required property FaceSizes sizes
    required property string title
    required property string told
    required property bool counts

    spacing: Theme.s1

    Words {
        size: record.sizes.body
        bold: true
        text: (record.counts ? "Counts: " : "Not counted: ") + record.title
    }

    Words {
        width: record.width
        wrapMode: Text.WordWrap
        size: record.sizes.small
        text: record.told
        color: Theme.dim
    }
}
