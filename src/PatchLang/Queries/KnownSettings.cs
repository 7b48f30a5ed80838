using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Queries;

/// <summary>The settings that stand in statements of a kind: of gear, those of its sockets.</summary>
internal static class KnownSettings
{
    public static SettingVocabulary? Of(NodeKind statement) => statement switch
    {
        NodeKind.Unit => RigBuilder.UnitSettings,
        NodeKind.Feed => FeedBinder.FeedSettings,
        NodeKind.Network => NetworkBinder.Settings,
        NodeKind.Gear or NodeKind.Card => GearModelFactory.SocketSettings,
        _ => null,
    };
}
