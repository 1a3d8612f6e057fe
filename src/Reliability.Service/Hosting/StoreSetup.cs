using System.Globalization;
using NodaTime;
using Reliability.Service.Events;
using Reliability.Service.Lives;
using Reliability.Store;

namespace Reliability.Service.Hosting;

/// <summary>The store: a PostgreSQL server that is configured, or the private one.</summary>
internal static class StoreSetup
{
    private const string ConnectionName = "Reliability", DataDirectoryKey = "DataDirectory", ZoneKey = "History:TimeZone";
    private const string IdleTransactionKey = "Store:IdleTransactionLimit";

    public static void AddStore(this WebApplicationBuilder builder)
    {
        var configuration = builder.Configuration;
        var defaults = new ReliabilityStoreOptions();
        var options = defaults with
        {
            ConnectionString = configuration.GetConnectionString(ConnectionName),
            IdleTransactionLimit = Limit(configuration[IdleTransactionKey]) ?? defaults.IdleTransactionLimit,
            DataDirectory = configuration[DataDirectoryKey] is { Length: > 0 } folder ? folder : defaults.DataDirectory,
        };
        builder.Services.AddReliabilityStore(_ => options);
        // There is one organisation until access control tells callers apart.
        builder.Services.AddTransient(services => services.GetRequiredService<ReliabilityStore>().Default);

        var times = new EventTimes(Zone(configuration[ZoneKey]));
        builder.Services.AddSingleton(times);
        builder.Services.AddSingleton(new EventMapping(times, ReliabilityStore.DefaultOrganisation));
        builder.Services.AddTransient<RevisionGate>();
        builder.Services.AddTransient<RecordTimeGate>();
        builder.Services.AddSingleton(new LivesMemory());
        builder.Services.AddTransient<LifeSource>();
    }

    private static TimeSpan? Limit(string? text) => string.IsNullOrEmpty(text)
        ? null
        : TimeSpan.TryParse(text, CultureInfo.InvariantCulture, out var limit) && limit > TimeSpan.Zero
            ? limit
            : throw new StartupRefusedException(
                $"{IdleTransactionKey} must be a time above zero as hours:minutes:seconds, such as \"00:01:00\"; got \"{text}\".");

    private static DateTimeZone Zone(string? name) => string.IsNullOrEmpty(name)
        ? DateTimeZone.Utc
        : DateTimeZoneProviders.Tzdb.GetZoneOrNull(name) ?? throw new StartupRefusedException(
            $"{ZoneKey} must be an IANA time zone, such as \"Europe/Lisbon\"; got \"{name}\".");
}
