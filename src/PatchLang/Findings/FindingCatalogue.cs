using System.Collections.Immutable;

namespace PatchLang.Findings;

/// <summary>Every kind of finding, by code. Listed by hand: the compiler uses no reflection, and a test holds the list complete.</summary>
public static class FindingCatalogue
{
    /// <summary>All kinds, in the order of their codes.</summary>
    public static ImmutableArray<FindingKind> All { get; } =
    [
        TextFindings.UnexpectedText,
        TextFindings.UnreadableStatement,
        TextFindings.OpenString,
        TextFindings.OpenComment,
        TextFindings.StrayCharacter,
        TextFindings.ReservedWord,
        TextFindings.MissingUnit,
        TextFindings.MalformedNumber,
        TextFindings.StatementTooLong,
        TextFindings.UnreadableFile,

        NameFindings.UnknownName,
        NameFindings.DuplicateName,
        NameFindings.WrongSort,
        NameFindings.CircularUse,
        NameFindings.FileNotFound,
        NameFindings.FileOutside,
        NameFindings.UnknownSetting,
        NameFindings.WrongValue,
        NameFindings.WrongArguments,
        NameFindings.UnknownElement,
        NameFindings.CircularFeeds,
        NameFindings.CircularBundle,
        NameFindings.RepeatedMember,
        NameFindings.ActReachesFurther,
        NameFindings.RootOnly,
        NameFindings.UnknownEdition,
        NameFindings.CircularGear,

        ChannelFindings.PastEnd,
        ChannelFindings.FullAtRate,
        ChannelFindings.LimitExceeded,
        ChannelFindings.UnequalWidths,
        ChannelFindings.SideWithoutPlace,
        ChannelFindings.DrivenTwice,
        ChannelFindings.FeedsTwo,
        ChannelFindings.BrokenBlock,
        ChannelFindings.Renumbered,
        ChannelFindings.CrossedSides,
        ChannelFindings.BadRange,
        ChannelFindings.FixedTwice,
        ChannelFindings.SplitConnector,
        ChannelFindings.Feedback,
        ChannelFindings.TooLarge,
        ChannelFindings.FittedBeyondLimit,
        ChannelFindings.InsertTwice,
        ChannelFindings.InsertElsewhere,

        FormatFindings.FormatsDiffer,
        FormatFindings.NotJoined,
        FormatFindings.WrongSide,
        FormatFindings.NoRoute,
        FormatFindings.RatesDiffer,
        FormatFindings.NoWay,
        FormatFindings.SeveralWays,
        FormatFindings.WrongMedium,
        FormatFindings.RateNotCarried,
        FormatFindings.CardDoesNotFit,
        FormatFindings.TwoNetworks,
        FormatFindings.NotPassedThere,
        FormatFindings.TapWithoutStrip,
        FormatFindings.UnknownTap,
        FormatFindings.GainInEither,

        ClockFindings.Conflict,
        ClockFindings.Loop,
        ClockFindings.NoTime,
        ClockFindings.NoTimekeeper,
        ClockFindings.TwoTimekeepers,
        ClockFindings.NoClock,
        ClockFindings.OtherLeader,
        ClockFindings.NotASource,
        ClockFindings.FollowedTwice,
        ClockFindings.TimekeeperFollows,

        CablingFindings.Reserved,
        CablingFindings.LongCable,
        CablingFindings.CableTooLong,
        CablingFindings.LoomWayTwice,
        CablingFindings.ConnectorsDiffer,
        CablingFindings.LongUnbalanced,
        CablingFindings.LengthUnknown,
        CablingFindings.CabledTwice,
        CablingFindings.CableNowhere,

        ExpectationFindings.Broken,
        ExpectationFindings.Undecided,
        ExpectationFindings.AppliesNowhere,
        ExpectationFindings.NothingFeeds,

        LooseEndFindings.Unused,
        LooseEndFindings.EndsNowhere,
        LooseEndFindings.UnusedAllow,
        LooseEndFindings.SameLabel,

        SafetyFindings.PhantomIntoOutput,
        SafetyFindings.PhantomTwice,
        SafetyFindings.PhantomMissing,
        SafetyFindings.PrivateReachesPublic,
    ];

    /// <summary>The kind of a code such as <c>PL0301</c>, or null. Codes are written in capitals.</summary>
    public static FindingKind? Find(string code) => All.FirstOrDefault(k => k.Code == code);
}
