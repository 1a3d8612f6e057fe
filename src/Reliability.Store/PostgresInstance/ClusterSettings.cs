using System.Globalization;

namespace Reliability.Store.PostgresInstance;

/// <summary>The configuration files of the private cluster, written anew at every start.</summary>
internal static class ClusterSettings
{
    /// <summary>Name of the database user and of the database.</summary>
    public const string Name = "reliability";

    /// <summary>
    /// postgresql.conf. Loopback only; nothing trades durability for speed. An operator's own settings go into
    /// local.conf, which comes last and wins.
    /// </summary>
    public static string Server(int port) => string.Create(CultureInfo.InvariantCulture, $"""
        # Written by the service at every start. Put your own settings into local.conf beside this file.
        listen_addresses = '127.0.0.1'
        port = {port}
        unix_socket_directories = ''
        password_encryption = 'scram-sha-256'
        max_connections = 100

        # A receipt promises that the event is on disk.
        fsync = on
        synchronous_commit = on
        full_page_writes = on

        # The projections wait behind the oldest open transaction, so an idle one must end.
        idle_in_transaction_session_timeout = '60s'

        shared_buffers = '256MB'
        max_wal_size = '2GB'
        wal_compression = on
        random_page_cost = 1.1
        jit = off
        timezone = 'UTC'
        log_timezone = 'UTC'
        lc_messages = 'C'

        # One log file a weekday, overwritten after a week.
        logging_collector = on
        log_directory = 'log'
        log_filename = 'postgresql-%a.log'
        log_rotation_age = '1d'
        log_rotation_size = 0
        log_truncate_on_rotation = on

        include_if_exists = 'local.conf'

        """);

    /// <summary>pg_hba.conf: passwords for everybody, from this machine only.</summary>
    public const string Access = """
        # Written by the service at every start.
        host all all 127.0.0.1/32 scram-sha-256

        """;
}
